// SPDX-License-Identifier: MIT
// Reading and writing whole files, against files written here byte by byte and names that cannot be
// read or written.
// Everything is exact.
#include "holdable/files/text.hpp"

#include "holdable/base/error.hpp"
#include "holdable/files/document.hpp"

#include <boost/test/unit_test.hpp>

#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

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

namespace {

/// How a child of ours ended that does this: its exit status, or 128 and the signal.
int ended(const std::function<int()>& work) {
    const pid_t child = fork();
    if (child == 0) {
        const rlimit no_core{0, 0};
        setrlimit(RLIMIT_CORE, &no_core);
        _exit(work());
    }
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

/// A folder of its own, gone at the end.
struct Folder {
    std::filesystem::path path;

    Folder() {
        auto name = (std::filesystem::temp_directory_path() / "holdable-text-XXXXXX").string();
        BOOST_REQUIRE(mkdtemp(name.data()) != nullptr);
        path = name;
    }

    ~Folder() { std::filesystem::remove_all(path); }

    std::string operator/(const std::string& name) const { return (path / name).string(); }

    std::size_t files() const {
        return static_cast<std::size_t>(
            std::distance(std::filesystem::directory_iterator(path), {}));
    }
};

/// Writes a million bytes where a file may have a thousand. @param told an error, not a signal
int write_too_much(const std::string& path, bool told) {
    std::signal(SIGXFSZ, told ? SIG_IGN : SIG_DFL);
    const rlimit small{1000, 1000};
    setrlimit(RLIMIT_FSIZE, &small);
    try {
        write_text(path, std::string(1'000'000, 'x'));
    } catch (const InputError& error) {
        return error.diagnostics().at(0).id == "file-unwritable" ? 3 : 4;
    }
    return 0;
}

} // namespace

BOOST_AUTO_TEST_CASE(what_is_killed_in_mid_write_leaves_the_old_file) {
    const Folder folder;
    write_text(folder / "page", "one\n");
    BOOST_TEST(ended([&] { return write_too_much(folder / "page", false); }) == 128 + SIGXFSZ);
    BOOST_TEST(read_text(folder / "page") == "one\n");
    BOOST_TEST(folder.files() == 2U); // and what it had begun, under a name of its own
    BOOST_TEST(ended([&] { return write_too_much(folder / "new page", false); }) == 128 + SIGXFSZ);
    BOOST_TEST(!std::filesystem::exists(folder / "new page"));
}

BOOST_AUTO_TEST_CASE(what_does_not_fit_is_told_and_leaves_the_old_file) {
    const Folder folder;
    write_text(folder / "page", "one\n");
    BOOST_TEST(ended([&] { return write_too_much(folder / "page", true); }) == 3);
    BOOST_TEST(ended([&] { return write_too_much(folder / "new page", true); }) == 3);
    BOOST_TEST(read_text(folder / "page") == "one\n");
    BOOST_TEST(folder.files() == 1U);
}

BOOST_AUTO_TEST_CASE(a_link_stays_and_what_it_points_to_is_replaced) {
    const Folder folder;
    std::filesystem::create_directory(folder.path / "far");
    write_text(folder / "far/page", "one\n");
    std::filesystem::create_symlink("far/page", folder.path / "near");
    std::filesystem::create_symlink("near", folder.path / "nearer");
    write_text(folder / "nearer", "two\n");
    BOOST_TEST(read_text(folder / "far/page") == "two\n");
    BOOST_TEST(std::filesystem::is_symlink(folder.path / "near"));
    BOOST_TEST(std::filesystem::is_symlink(folder.path / "nearer"));
    std::filesystem::create_symlink("far/other", folder.path / "to nothing yet");
    write_text(folder / "to nothing yet", "three\n");
    BOOST_TEST(read_text(folder / "far/other") == "three\n");
    std::filesystem::create_symlink("round", folder.path / "round");
    BOOST_CHECK_THROW(write_text(folder / "round", "four\n"), InputError);
}

BOOST_AUTO_TEST_CASE(what_may_not_be_written_is_not) {
    const Folder folder;
    std::filesystem::create_directory(folder.path / "shut");
    write_text(folder / "page", "one\n");
    write_text(folder / "shut/page", "one\n");
    std::filesystem::permissions(folder.path, std::filesystem::perms(0777));
    std::filesystem::permissions(folder / "page", std::filesystem::perms(0444));
    std::filesystem::permissions(folder.path / "shut", std::filesystem::perms(0555));
    for (const auto* name : {"page", "shut/page", "shut/other"})
        BOOST_TEST(ended([&] {
                       if (geteuid() == 0 && setuid(65534) != 0) // who may write everything
                           return 1;
                       try {
                           write_text(folder / name, "two\n");
                       } catch (const InputError& error) {
                           return error.diagnostics().at(0).id == "file-unwritable" ? 3 : 4;
                       }
                       return 0;
                   }) == 3,
                   name);
    BOOST_TEST(read_text(folder / "page") == "one\n");
    BOOST_TEST(read_text(folder / "shut/page") == "one\n");
    BOOST_TEST(folder.files() == 2U);
    std::filesystem::permissions(folder.path / "shut", std::filesystem::perms(0755));
}

BOOST_AUTO_TEST_CASE(names_are_taken_literally_and_may_be_as_long_as_a_name_may_be) {
    const Folder folder;
    const std::vector<std::string> names = {"a b",
                                            "$(touch evil)",
                                            "`touch evil`",
                                            "it's \"so\"",
                                            "-rf",
                                            "line\nline",
                                            "\xff",
                                            "*",
                                            "~",
                                            "%41",
                                            "a;b",
                                            "\\",
                                            std::string(255, 'n')};
    for (const auto& name : names) {
        write_text(folder / name, name);
        BOOST_TEST(read_text(folder / name) == name);
        std::filesystem::remove(folder / name);
        write_new_text(folder / name, name);
        BOOST_TEST(read_text(folder / name) == name);
    }
    BOOST_TEST(folder.files() == names.size());
}

BOOST_AUTO_TEST_SUITE_END()
