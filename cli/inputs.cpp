// SPDX-License-Identifier: MIT
#include "inputs.hpp"

#include "holdable/base/digest.hpp"
#include "holdable/base/error.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/ask.hpp"
#include "holdable/files/ask_job.hpp"
#include "holdable/files/read_job.hpp"
#include "holdable/files/read_machine.hpp"
#include "holdable/files/read_minutes.hpp"
#include "holdable/files/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <limits>
#include <system_error>
#include <utility>
#include <vector>

namespace holdable::cli {
namespace {

constexpr std::uint64_t most_worlds = 200'000; // each takes a number for every input

std::size_t most_bytes = document_bytes; // set once, by the option

/// Reads a file, or adds what is wrong with it to a list.
template <class Read>
auto attempt(const std::string& path, Files& files, std::vector<Diagnostic>& wrong, Read read)
    -> decltype(read(Node{}, path)) {
    try {
        return read(document_from(path, files), path);
    } catch (const InputError& error) {
        wrong.insert(wrong.end(), error.diagnostics().begin(), error.diagnostics().end());
        return {};
    }
}

} // namespace

void add_limits(CLI::App& app) {
    app.add_option("--most-bytes", most_bytes, "refuse a file that is larger")
        ->check(counted(document_bytes))
        ->capture_default_str();
}

Node document_from(const std::string& path) {
    return parse_document(read_text(path, most_bytes), path);
}

Node document_from(const std::string& path, Files& files) {
    const auto text = read_text(path, most_bytes);
    files.emplace_back(path == "-" ? "standard input"
                                   : std::filesystem::path(path).filename().string(),
                       sha256(text));
    return parse_document(text, path);
}

Origin origin(const Files& files) {
    return {HOLDABLE_VERSION, files};
}

Shop shop_from(const std::string& path, Files& files) {
    return read_machine(document_from(path, files), path);
}

Question question_from(const std::string& machine_path, const std::string& job_path) {
    if (machine_path == "-" && job_path == "-")
        throw CLI::ValidationError("MACHINE and JOB cannot both come from standard input");
    std::vector<Diagnostic> wrong;
    Files files;
    auto [shop, minutes] =
        attempt(machine_path, files, wrong, [](const Node& root, const std::string& file) {
            return std::pair(read_machine(root, file), read_minutes(root, file));
        });
    auto job = attempt(job_path, files, wrong, read_job);
    Question question{std::move(shop), std::move(job), std::move(minutes), std::move(files)};
    if (!wrong.empty())
        throw InputError(std::move(wrong));
    return question;
}

OneLine one_line_from(const std::string& machine_path, const std::string& line) {
    Files files;
    auto shop = shop_from(machine_path, files);
    const auto asked = read_ask(line, shop.inch);
    auto made = job_from(asked, shop);
    return {{std::move(shop), std::move(made.job), {}, std::move(files)},
            write_ask(asked),
            std::move(made.assumed)};
}

std::vector<std::string>
with_notes_of_files(const Question& question, Date day, const std::vector<std::string>& notes) {
    auto all = question.shop.notes;
    all.insert(all.end(), question.job.notes.begin(), question.job.notes.end());
    const auto between = notes_between(question.shop, day);
    all.insert(all.end(), between.begin(), between.end());
    for (const auto& note : notes)
        if (std::find(all.begin(), all.end(), note) == all.end())
            all.push_back(note);
    return all;
}

void add_day(CLI::App& verb,
             std::optional<Date>& day,
             const std::string& option,
             const std::string& about) {
    verb.add_option_function<std::string>(
            option,
            [&day, option](const std::string& text) {
                try {
                    day = parse_date(text);
                } catch (const InputError& error) {
                    throw CLI::ValidationError(option, error.diagnostics().front().message);
                }
            },
            about)
        ->type_name("DATE");
}

void add_promise(CLI::App& verb, AnswerOptions& options) {
    verb.add_option("--parts", options.parts, "share of the parts to be good")
        ->check(promised_share())
        ->capture_default_str();
    verb.add_option("--confidence", options.confidence, "confidence in that")
        ->check(promised_share())
        ->capture_default_str();
    add_day(verb, options.on);
}

void add_draws(CLI::App& verb, AnswerOptions& options, bool trials) {
    if (trials)
        verb.add_option("--trials", options.trials, "worlds to begin with")
            ->check(counted(most_worlds));
    verb.add_option("--seed", options.seed, "of the random numbers")->capture_default_str();
    verb.add_option("--threads", options.threads, "without it all cores; changes no digit")
        ->check(counted());
}

std::optional<std::size_t> place_of(const std::optional<int>& item, const Job& job) {
    const auto count = job.callouts.size();
    if (!item)
        return std::nullopt;
    if (static_cast<std::size_t>(*item) > count)
        throw CLI::ValidationError("--item", fmt::format("the job has {} callouts", count));
    return static_cast<std::size_t>(*item) - 1;
}

CLI::Validator counted(std::optional<std::uint64_t> most) {
    return {[most](const std::string& text) {
                const bool digits = text.find_first_not_of("0123456789") == std::string::npos;
                const bool zero = text.find_first_not_of('0') == std::string::npos;
                if (!digits || zero)
                    return in_quotes(text) + " is not a whole number from 1 on";
                std::uint64_t value = 0;
                const auto [end, error] =
                    std::from_chars(text.data(), text.data() + text.size(), value);
                const auto highest = most.value_or(std::numeric_limits<std::int64_t>::max());
                return error == std::errc{} && value <= highest
                           ? std::string()
                           : fmt::format("{} is more than {}", text, highest);
            },
            most ? fmt::format("1 ... {}", *most) : "1 ..."};
}

CLI::Validator promised_share() {
    return {[](const std::string& text) {
                double value = 0;
                const bool fits =
                    CLI::detail::lexical_cast(text, value) && value > 0.5 && value < 1;
                return fits ? std::string() : std::string("must lie between 0.5 and 1, as 0.95");
            },
            "0.5 ... 1"};
}

} // namespace holdable::cli
