// SPDX-License-Identifier: MIT
// Reading and writing whole files, against files written here byte by byte and names that cannot be
// read or written.
// Everything is exact.
#include "holdable/files/text.hpp"

#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"

#include <boost/test/unit_test.hpp>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <unistd.h>

using namespace holdable;

namespace {

struct Scratch {
    std::filesystem::path path =
        std::filesystem::temp_directory_path() / ("holdable-text-" + std::to_string(getpid()));

    explicit Scratch(const std::string& content) {
        std::ofstream(path, std::ios::binary) << content;
    }

    ~Scratch() { std::filesystem::remove(path); }
};

std::string refusal(const std::string& path) {
    try {
        read_text(path);
    } catch (const InputError& error) {
        BOOST_TEST(error.diagnostics().at(0).id == "file-unreadable");
        return error.diagnostics().at(0).message;
    }
    return "nothing";
}

} // namespace

BOOST_AUTO_TEST_SUITE(text)

BOOST_AUTO_TEST_CASE(bytes_come_back_as_they_are) {
    const std::string bytes("a\r\n\0\xC3\x98", 6);
    BOOST_TEST(read_text(Scratch(bytes).path) == bytes);
    BOOST_TEST(read_text(Scratch("").path).empty());
    const std::string block(1 << 16, 'x');
    BOOST_TEST((read_text(Scratch(block).path) == block));
    BOOST_TEST((read_text(Scratch(block + "y").path) == block + "y"));
}

BOOST_AUTO_TEST_CASE(of_an_endless_file_no_more_is_read_than_may_be) {
    BOOST_CHECK_EXCEPTION(read_text("/dev/zero"), InputError, [](const InputError& error) {
        return error.what() ==
               std::string("/dev/zero: error: more than 16777216 bytes [json-limit]\n"
                           "    hint: no file of a shop is as large");
    });
    const Scratch ten("0123456789");
    BOOST_TEST(read_text(ten.path, 10) == "0123456789");
    BOOST_CHECK_EXCEPTION(read_text(ten.path, 9), InputError, [](const InputError& error) {
        const auto& d = error.diagnostics().front();
        return d.id == "json-limit" && d.message == "more than 9 bytes" &&
               !d.location.file.empty() && !d.hint.empty();
    });
}

BOOST_AUTO_TEST_CASE(what_cannot_be_read_is_said) {
    BOOST_TEST(refusal("/no/such/file") ==
               "cannot read the file \"/no/such/file\": No such file or directory");
    BOOST_TEST(refusal("/tmp") == "cannot read the file \"/tmp\": Is a directory");
}

BOOST_AUTO_TEST_CASE(a_new_file_is_written_whole_or_not_at_all) {
    const auto folder =
        std::filesystem::temp_directory_path() / ("holdable-new-" + std::to_string(getpid()));
    std::filesystem::create_directory(folder);
    const auto path = (folder / "a file.json").string();
    write_new_text(path, "one\n");
    BOOST_TEST(read_text(path) == "one\n");
    const auto id_of = [](const std::string& name) {
        try {
            write_new_text(name, "two\n");
        } catch (const InputError& error) {
            return error.diagnostics().at(0).id;
        }
        return std::string("written");
    };
    BOOST_TEST(id_of(path) == "file-exists");
    BOOST_TEST(read_text(path) == "one\n");
    BOOST_TEST(id_of(folder.string()) == "file-exists");
    std::filesystem::create_symlink("nowhere", folder / "link");
    BOOST_TEST(id_of((folder / "link").string()) == "file-exists");
    BOOST_TEST(id_of((folder / "no folder" / "a").string()) == "file-unwritable");
    std::size_t left = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        left += entry.exists() || entry.is_symlink() ? 1U : 0U;
    BOOST_TEST(left == 2U); // the file and the link, nothing half-written
    std::filesystem::remove_all(folder);
}

BOOST_AUTO_TEST_CASE(a_file_that_is_there_is_replaced_whole_or_stays) {
    const auto folder =
        std::filesystem::temp_directory_path() / ("holdable-old-" + std::to_string(getpid()));
    std::filesystem::create_directory(folder);
    const auto path = (folder / "page").string();
    write_text(path, "one\n");
    std::filesystem::permissions(
        path, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
    write_text(path, std::string(1'000'000, 'x'));
    BOOST_TEST(read_text(path) == std::string(1'000'000, 'x'));
    BOOST_TEST((std::filesystem::status(path).permissions() ==
                (std::filesystem::perms::owner_read | std::filesystem::perms::owner_write)));
    const auto refused = [](const std::string& name) {
        try {
            write_text(name, "two\n");
        } catch (const InputError& error) {
            return error.diagnostics().at(0).id == "file-unwritable";
        }
        return false;
    };
    BOOST_TEST(refused(folder.string()));
    BOOST_TEST(refused((folder / "none" / "page").string()));
    if (std::filesystem::exists("/dev/full"))
        BOOST_TEST(refused("/dev/full"));
    write_text("/dev/null", "two\n");
    BOOST_TEST(std::distance(std::filesystem::directory_iterator(folder), {}) == 1);
    std::filesystem::remove_all(folder);
}

BOOST_AUTO_TEST_SUITE_END()
