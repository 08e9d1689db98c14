// SPDX-License-Identifier: MIT
// Printing to PDF through another program: what is said where there is none, where it fails and
// where it makes something else, that nothing is left behind, and that names are taken literally by
// a program that stands in for Chromium. A stand-in is known by what it writes. Exact.
#include "pdf.hpp"

#include "holdable/base/error.hpp"
#include "holdable/files/text.hpp"

#include <boost/test/unit_test.hpp>

#include <cstdlib>
#include <filesystem>
#include <iterator>
#include <string>

using namespace holdable;
using namespace holdable::cli;
namespace fs = std::filesystem;

namespace {

/// A folder that is the whole PATH, and put back at the end.
struct Path {
    fs::path folder;
    std::string before = std::getenv("PATH");

    Path() {
        auto name = (fs::temp_directory_path() / "holdable-pdf-XXXXXX").string();
        BOOST_REQUIRE(mkdtemp(name.data()) != nullptr);
        folder = name;
        setenv("PATH", name.c_str(), 1);
    }

    ~Path() {
        setenv("PATH", before.c_str(), 1);
        fs::remove_all(folder);
    }

    void program(const std::string& name, const std::string& script) const {
        write_text((folder / name).string(), "#!/bin/sh\n" + script);
        fs::permissions(folder / name, fs::perms::owner_all);
    }

    std::string id(const std::string& file = "page.pdf") const {
        try {
            write_pdf((folder / file).string(), "<p>page</p>");
        } catch (const InputError& error) {
            return error.diagnostics().front().id;
        }
        return "none";
    }
};

/// Copies what it shall print to where it shall go, "%PDF" before it.
constexpr auto stand_in = R"(
for word in "$@"; do
    case "$word" in
        --print-to-pdf=*) to=${word#--print-to-pdf=} ;;
        file://*) from=${word#file://} ;;
    esac
done
{ printf '%%PDF'; /bin/cat "$from"; } > "$to"
)";

} // namespace

BOOST_AUTO_TEST_SUITE(pdf)

BOOST_AUTO_TEST_CASE(no_program_is_there) {
    const Path path;
    BOOST_TEST(path.id() == "pdf-program");
    BOOST_TEST(fs::is_empty(path.folder));
}

BOOST_AUTO_TEST_CASE(a_program_that_fails) {
    const Path path;
    path.program("chromium", "exit 1\n");
    BOOST_TEST(path.id() == "pdf-failed");
    path.program("chromium", "exit 0\n"); // and made nothing
    BOOST_TEST(path.id() == "pdf-failed");
    BOOST_TEST(std::distance(fs::directory_iterator(path.folder), {}) == 1);
}

BOOST_AUTO_TEST_CASE(names_are_taken_literally) {
    const Path path;
    path.program("chromium", stand_in);
    const std::string name = "a b; touch c; $(touch d) '\".pdf";
    BOOST_TEST(path.id(name) == "none");
    BOOST_TEST(read_text((path.folder / name).string()) == "%PDF<p>page</p>");
    BOOST_TEST(std::distance(fs::directory_iterator(path.folder), {}) == 2);
    fs::create_directory(path.folder / "sub");
    BOOST_TEST(path.id("sub") == "file-unwritable");
    BOOST_TEST(path.id("none/page.pdf") == "file-unwritable");
}

BOOST_AUTO_TEST_CASE(the_other_program_will_do) {
    const Path path;
    path.program("weasyprint", "{ printf '%%PDF'; /bin/cat \"$2\"; } > \"$3\"\n");
    BOOST_TEST(path.id() == "none");
    BOOST_TEST(read_text((path.folder / "page.pdf").string()) == "%PDF<p>page</p>");
}

BOOST_AUTO_TEST_SUITE_END()
