// SPDX-License-Identifier: MIT
/// A statement in words, before it is text or HTML: so that both say the same.
#pragma once

#include "holdable/answer/statement.hpp"
#include "holdable/report/shop_units.hpp"

#include <string>
#include <utility>
#include <vector>

namespace holdable {

/// In which units lengths are printed.
enum class PageUnits {
    as_asked, ///< those of the job, or of the shop
    inch,
    metric,
    both ///< those of the job or shop, the others in brackets
};

/// What identifies an edition of the page.
struct Edition {
    std::string version;                                        ///< of the program
    std::vector<std::pair<std::string, std::string>> digests{}; ///< name of a file, its SHA-256
    PageUnits units = PageUnits::as_asked;
    bool shop_copy = false; ///< with what would help; the customer's has none
    bool audit = false;     ///< with the appendix
};

/// Words in columns.
struct WordTable {
    std::vector<std::string> head;
    std::vector<std::vector<std::string>> rows; ///< each as long as the head
};

/// Paragraphs under a label.
struct WordBlock {
    std::string label;
    std::vector<std::string> lines;
};

/// A line of the page's table.
struct ClaimWords {
    std::string feature, detail;
    std::string range;      ///< sizes of a sheet, or what a job asks
    std::string capability; ///< "-" where there is none
    std::string inspection; ///< U with its k, "-" where there is none
    std::string offered;    ///< or "not offered"
    std::string remark;
};

/// What stands behind one claim.
struct AppendixWords {
    std::string title;
    std::vector<std::pair<std::string, std::string>> facts;
    WordTable known, inputs;
    std::vector<std::string> notes;
};

/// The page.
struct StatementPage {
    std::string title, number, subtitle;
    bool sheet = false; ///< a capability sheet, else the callouts of a job
    std::vector<std::pair<std::string, std::string>> head; ///< shop, machine, dates, print
    std::string promise;                                   ///< what a capability is, in a sentence
    std::vector<ClaimWords> claims;
    std::vector<WordBlock> blocks;    ///< conditions, rule, traceability, exclusions, validity
    std::vector<WordBlock> to_help;   ///< of a shop's copy: what would help, by claim
    std::vector<std::string> remarks; ///< on files and machine, for shop and auditor
    std::string responsible;          ///< name and role; he signs by hand
    std::string caution, edition;
    std::vector<AppendixWords> appendix; ///< where wanted: one a claim
    WordTable readings;                  ///< raw readings behind each check
    WordTable checks;                    ///< what was checked, when, with what
};

/// Puts a statement into words. @throws NumericError if a number to be printed is not finite
StatementPage statement_page(const Statement& statement, const Edition& edition);

/// What can be offered or held, rounded up, no finer than the first digit of what it is known by.
/// @param doubt U of the inspection or the standard error, 0: none (m)
std::string claimed(double m, double doubt, const Callout& callout, Habit habit);

} // namespace holdable
