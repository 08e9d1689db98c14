// SPDX-License-Identifier: MIT
#include "pdf.hpp"

#include "holdable/base/error.hpp"
#include "holdable/files/text.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <sys/wait.h>
#include <system_error>
#include <time.h>
#include <unistd.h>
#include <vector>

namespace holdable::cli {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void fail(int error, const std::string& path) {
    throw std::system_error(error, std::generic_category(), path);
}

/// The program's full path, empty if it is on no folder of PATH.
std::string found_on_path(std::string_view name) {
    const char* folders = std::getenv("PATH");
    std::string_view rest = folders != nullptr ? folders : "";
    while (!rest.empty()) {
        const auto end = rest.find(':');
        const auto folder = rest.substr(0, end);
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
        if (folder.empty())
            continue;
        const auto path = std::string(folder) + "/" + std::string(name);
        if (access(path.c_str(), X_OK) == 0)
            return path;
    }
    return {};
}

/// A folder of our own that goes when we do.
class WorkFolder {
  public:
    WorkFolder() {
        std::string name = (fs::absolute(fs::temp_directory_path()) / "holdable-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr)
            fail(errno, name);
        path_ = name;
    }

    ~WorkFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }

    WorkFolder(const WorkFolder&) = delete;
    WorkFolder& operator=(const WorkFolder&) = delete;

    const std::string& path() const { return path_; }

  private:
    std::string path_;
};

/// An absolute path as a URL: each byte that could mean something else is written `%20` (RFC 3986).
std::string file_url(std::string_view path) {
    std::string url = "file://";
    for (const char c : path) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           (c >= '0' && c <= '9') ||
                           std::string_view("-._~/").find(c) != std::string_view::npos;
        url += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return url;
}

/// Runs a program without a shell, its output dropped. @return whether it ended well in time
bool run(const std::vector<std::string>& words) {
    constexpr int most_seconds = 60;
    std::vector<char*> arguments;
    for (const auto& word : words)
        arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    const pid_t child = fork();
    if (child < 0)
        fail(errno, words.front());
    if (child == 0) {
        setpgid(0, 0);
        std::signal(SIGXFSZ, SIG_DFL); // as main found it
        const int nothing = open("/dev/null", O_RDWR);
        if (nothing >= 0) {
            dup2(nothing, 0);
            dup2(nothing, 1);
            dup2(nothing, 2);
        }
        execv(arguments[0], arguments.data());
        _exit(127);
    }
    for (int tenths = 0; tenths < 10 * most_seconds; ++tenths) {
        int status = 0;
        const pid_t done = waitpid(child, &status, WNOHANG);
        if (done == child)
            return WIFEXITED(status) && WEXITSTATUS(status) == 0;
        const timespec tenth = {0, 100'000'000};
        nanosleep(&tenth, nullptr);
    }
    kill(-child, SIGKILL);
    waitpid(child, nullptr, 0);
    return false;
}

} // namespace

void write_pdf(const std::string& path, std::string_view html) {
    const WorkFolder folder;
    const auto page = folder.path() + "/page.html";
    const auto printed = folder.path() + "/page.pdf";
    write_text(page, html);
    std::vector<std::string> words;
    for (const auto* name : {"chromium", "chromium-browser", "chromium-headless-shell"})
        if (const auto program = found_on_path(name); !program.empty() && words.empty()) {
            words = {program,
                     "--headless",
                     "--disable-gpu",
                     "--no-first-run",
                     "--no-pdf-header-footer",
                     "--disable-background-networking",
                     "--proxy-server=127.0.0.1:9", // nothing listens there: no network
                     "--user-data-dir=" + folder.path() + "/profile",
                     "--print-to-pdf=" + printed};
            if (geteuid() == 0)
                words.emplace_back("--no-sandbox"); // it refuses to run for root else
            words.push_back(file_url(page));
        }
    if (words.empty())
        if (const auto program = found_on_path("weasyprint"); !program.empty())
            words = {program, "--quiet", page, printed};
    if (words.empty())
        throw InputError("pdf-program",
                         "a PDF needs Chromium or WeasyPrint, and neither is installed",
                         "install the package \"chromium\" or \"weasyprint\", or print the file of "
                         "--html from any browser");
    const bool done = run(words);
    std::ifstream in(printed, std::ios::binary);
    const std::string pdf((std::istreambuf_iterator<char>(in)), {});
    if (!done || !pdf.starts_with("%PDF"))
        throw InputError("pdf-failed",
                         fmt::format("{} made no PDF", words.front()),
                         "print the file of --html from any browser");
    write_text(path, pdf);
}

} // namespace holdable::cli
