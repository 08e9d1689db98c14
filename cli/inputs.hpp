// SPDX-License-Identifier: MIT
/// What several verbs ask of the command line and of files.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/answer/works.hpp"
#include "holdable/files/document.hpp"
#include "holdable/machine/shop.hpp"
#include "holdable/part/job.hpp"
#include "holdable/report/origin.hpp"

#include <CLI/CLI.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace holdable::cli {

/// The files read so far: the name of each without its folder, and its SHA-256.
using Files = std::vector<std::pair<std::string, std::string>>;

/// Reads and parses a file, and puts it on the list.
/// @param path "-" is standard input, and stands on the list as that @throws InputError
Node document_from(const std::string& path, Files& files);

/// What results for programs say they were made from.
Origin origin(const Files& files);

/// A machine and a job, both read.
struct Question {
    Shop shop;
    Job job;
    Minutes minutes{}; ///< of the machine file
    Files files{};     ///< both
};

/// Adds `--most-bytes`, which holds for every file read thereafter.
void add_limits(CLI::App& app);

/// Reads a file as a document. @param path "-" is standard input @throws InputError
Node document_from(const std::string& path);

/// Reads a machine file. @param path "-" is standard input
/// @throws InputError
Shop shop_from(const std::string& path, Files& files);

/// Reads both files; what is wrong with either is said at once.
/// @throws InputError; CLI::ValidationError if both paths are "-"
Question question_from(const std::string& machine_path, const std::string& job_path);

/// A machine and a question in one line.
struct OneLine {
    Question question;
    std::string asked;                ///< the line as it was understood
    std::vector<std::string> assumed; ///< what it left out
};

/// Reads the machine file, and the line in its units. @throws InputError
OneLine one_line_from(const std::string& machine_path, const std::string& line);

/// Notes on the files, then those of the computation; none of these is said twice.
/// @param day of the job
std::vector<std::string>
with_notes_of_files(const Question& question, Date day, const std::vector<std::string>& notes);

/// Adds `--on DATE`, or another option for a day; a text that is no date is a usage error.
void add_day(CLI::App& verb,
             std::optional<Date>& day,
             const std::string& option = "--on",
             const std::string& about = "the day, as in 2026-11-20; without it today");

/// Adds `--parts`, `--confidence` and `--on`: what is promised, and for which day.
void add_promise(CLI::App& verb, AnswerOptions& options);

/// Adds `--seed` and `--threads`, and before them, where wanted, `--trials`.
void add_draws(CLI::App& verb, AnswerOptions& options, bool trials = false);

/// The place of a callout, from 0, by its number on the command line.
/// @throws CLI::ValidationError where the job has none of that number
std::optional<std::size_t> place_of(const std::optional<int>& item, const Job& job);

/// Takes whole numbers from 1 on, perhaps up to a limit.
CLI::Validator counted(std::optional<std::uint64_t> most = std::nullopt);

/// Takes what can be promised: a share or a confidence between 0.5 and 1.
CLI::Validator promised_share();

} // namespace holdable::cli
