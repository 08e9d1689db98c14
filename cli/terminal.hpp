// SPDX-License-Identifier: MIT
/// What is done on a terminal and nowhere else: a line of progress, bold and underlined words.
///
/// Weight is never the only sign: without it the same words stand there.
#pragma once

#include "holdable/base/progress.hpp"

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace holdable::cli {

/// What decides how a stream is written to.
struct Surroundings {
    bool terminal = false;               ///< the stream is one
    std::optional<std::string> no_color; ///< NO_COLOR, if it is set
    std::string term;                    ///< TERM

    /// A line can be written over.
    bool moves() const { return terminal && term != "dumb"; }

    /// Words may be bold: NO_COLOR is not set, or empty.
    bool styles() const { return moves() && no_color.value_or("").empty(); }
};

/// Of standard output or standard error. @param descriptor 1 or 2
Surroundings surroundings(int descriptor);

/// The text with its verdicts bold and the heads of its tables underlined.
std::string marked_up(std::string_view text);

/// Prints a text to standard output as it is, and sees that it arrives.
/// @throws std::system_error with the system's reason where it does not
void print_as_is(std::string_view text);

/// Prints a result to standard output, in it what may not be printed as `\u001b` (`shown_lines`).
/// @param plain for programs: never marked up
/// @throws std::system_error as `print_as_is`
void print_result(std::string_view text, bool plain = false);

/// Says something on standard error, in it what may not be printed as `\u001b`. Where that cannot
/// be written there is nowhere else to say it, and the exit status must do.
void say(std::string_view text);

/// A step as one line of at most `columns`: what is done, a bar and the share, or only a count.
std::string progress_line(const Step& step, std::size_t columns);

/// A line on standard error while it lives, if that is a terminal; it is erased at the end.
class ProgressLine {
  public:
    ProgressLine();
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    /// What a computation is to tell; empty where nothing is shown. It must not outlive this.
    Progress progress();

  private:
    void show(const Step& step);

    bool shown_;
    std::string doing_;
    std::chrono::steady_clock::time_point last_;
};

} // namespace holdable::cli
