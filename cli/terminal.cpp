// SPDX-License-Identifier: MIT
#include "terminal.hpp"

#include "holdable/base/printable.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <sys/ioctl.h>
#include <system_error>
#include <unistd.h>

namespace holdable::cli {
namespace {

constexpr std::string_view bold = "\x1b[1m";
constexpr std::string_view underlined = "\x1b[4m";
constexpr std::string_view plain = "\x1b[0m";
constexpr std::array<std::string_view, 4> verdicts = {"YES", "MARGINAL", "NO", "CAN'T SAY"};

bool in_word(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || (c & 0x80) != 0 || c == '_' ||
           c == '-';
}

std::string with_verdicts(std::string_view line) {
    std::string marked;
    for (std::size_t i = 0; i < line.size();) {
        const auto rest = line.substr(i);
        const auto verdict = std::find_if(verdicts.begin(), verdicts.end(), [&](auto word) {
            return rest.starts_with(word) &&
                   (rest.size() == word.size() || !in_word(rest[word.size()])) &&
                   (i == 0 || !in_word(line[i - 1]));
        });
        if (verdict == verdicts.end()) {
            marked += line[i++];
            continue;
        }
        marked.append(bold).append(*verdict).append(plain);
        i += verdict->size();
    }
    return marked;
}

/// The head of a table: it stands in, and has several columns.
bool is_head(std::string_view line) {
    const auto first = line.find_first_not_of(' ');
    return first != std::string_view::npos && first >= 2 && first <= 4 &&
           line.find("  ", first) != std::string_view::npos;
}

std::size_t columns_of(int descriptor) {
    winsize size{};
    return ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

} // namespace

Surroundings surroundings(int descriptor) {
    Surroundings around;
    around.terminal = isatty(descriptor) == 1;
    if (const char* no_color = std::getenv("NO_COLOR"))
        around.no_color = no_color;
    if (const char* term = std::getenv("TERM"))
        around.term = term;
    return around;
}

std::string marked_up(std::string_view text) {
    std::string marked;
    bool after_blank = false;
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        const auto line = text.substr(0, end);
        if (after_blank && is_head(line)) {
            const auto first = line.find_first_not_of(' ');
            marked.append(line.substr(0, first))
                .append(underlined)
                .append(line.substr(first))
                .append(plain);
        } else {
            marked += with_verdicts(line);
        }
        after_blank = line.empty();
        if (end == text.size())
            break;
        marked += '\n';
        text.remove_prefix(end + 1);
    }
    return marked;
}

void print_as_is(std::string_view text) {
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0)
        throw std::system_error(errno, std::generic_category(), "standard output");
}

void print_result(std::string_view text, bool plain_text) {
    const auto lines = shown_lines(text);
    const bool styled = !plain_text && surroundings(STDOUT_FILENO).styles();
    print_as_is(styled ? marked_up(lines) : lines);
}

void say(std::string_view text) {
    std::fputs(shown_lines(text).c_str(), stderr);
    std::fflush(stderr);
}

std::string progress_line(const Step& step, std::size_t columns) {
    constexpr std::size_t width = 24; // of the bar
    std::string line(step.doing);
    if (step.of > 0) {
        const auto done = std::min(step.done, step.of);
        const auto full = width * done / step.of;
        line = fmt::format("{:<28} |{:=<{}}{: <{}}| {:3} %",
                           line,
                           "",
                           full,
                           "",
                           width - full,
                           100 * done / step.of);
    } else if (step.done > 0) {
        line = fmt::format("{:<28} {}", line, step.done);
    }
    return line.substr(0, std::min(line.size(), columns > 0 ? columns - 1 : 0));
}

ProgressLine::ProgressLine() : shown_(surroundings(STDERR_FILENO).moves()), last_() {}

ProgressLine::~ProgressLine() {
    if (shown_ && !doing_.empty())
        std::fputs("\r\x1b[K", stderr);
}

Progress ProgressLine::progress() {
    if (!shown_)
        return {};
    return [this](const Step& step) { show(step); };
}

void ProgressLine::show(const Step& step) {
    const auto now = std::chrono::steady_clock::now();
    if (doing_ == step.doing && now - last_ < std::chrono::milliseconds(100))
        return;
    doing_ = step.doing;
    last_ = now;
    fmt::print(stderr, "\r{}\x1b[K", progress_line(step, columns_of(STDERR_FILENO)));
    std::fflush(stderr);
}

} // namespace holdable::cli
