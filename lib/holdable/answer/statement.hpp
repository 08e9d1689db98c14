// SPDX-License-Identifier: MIT
/// The page for the quote: what a shop offers on this machine, and on what it rests.
///
/// With a job, its callouts; without, a capability sheet over kinds of features, evaluated over the
/// whole range of sizes and the whole table, the worst value said. Everything is computed for the
/// last day on which the statement holds, so that it holds on every day before.
///
/// Offered is the smallest tolerance whose measured values lie inside the guarded limits, at the
/// share P of the parts and with confidence C, while proving costs no more than a quarter of it.
/// Nothing is offered where errors that nobody measured carry over a third of it, where the checks
/// of the machine do not agree, where no gauge is named or its calibration ran out, and of a
/// critical part without the customer's own rule.
///
/// Refused as a whole: [statement-void] where something happened to the machine after its last
/// check, [statement-expired] where that check is over a year old.
#pragma once

#include "holdable/answer/answer.hpp"
#include "holdable/answer/audit.hpp"
#include "holdable/machine/check_record.hpp"
#include "holdable/machine/state.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// How to make one.
struct StatementOptions {
    AnswerOptions answer;
    std::optional<Date> until; ///< last day on which it shall hold; none: 90 days from its own
};

/// One line of the page.
struct Claim {
    std::size_t callout = 0; ///< that decides its capability, of `Statement::answer`, from 0
    std::string feature;     ///< what it is: "bore 1", "Bored hole, square to a face"
    std::string detail;      ///< more of it: "to a face milled in the same set-up"
    std::string size;        ///< of a sheet, what its sizes are: "deep"
    double from = 0, to = 0; ///< of a sheet (m)
    std::optional<double> capability{}; ///< t(P, C): half of a size's width, else the zone (m)
    std::optional<double> capability_error{}; ///< its standard error (m)
    std::string gauge;                        ///< that proves it
    std::optional<double> expanded{};         ///< U of that, the largest over the sizes (m)
    double k = 0;                             ///< of that U
    std::optional<double> offered{};          ///< as capability (m)
    std::string not_offered;                  ///< why not
    std::vector<std::string> remarks;
    std::optional<Audit> audit{}; ///< of the callout that decides
};

/// The page.
struct Statement {
    ShopCard card;
    std::string drawing, revision, customer, quote; ///< of a job
    bool sheet = false;
    std::string material;
    Job job; ///< as it was asked: for `valid_until`, and of a sheet the callouts that decide
    Date issued, valid_until;
    std::string ends_it; ///< what ends it on that day, where something does: a calibration
    Answer answer;       ///< of the job, or of the callouts that decide a sheet, for `valid_until`
    std::vector<Claim> claims;
    std::vector<std::string> conditions; ///< what must be true, of all claims
    std::vector<std::string> excluded;   ///< what no figure holds
    Temperatures temperatures;
    bool several_setups = false;
    std::array<Travel, 3> travel;
    std::array<std::optional<CheckedSpan>, 3> checked;
    std::vector<CheckRecord> checks;
    std::vector<InstrumentRecord> instruments;
    std::vector<decide::Calibration> gauges; ///< behind the gauges of the claims
    std::optional<MachineState> state; ///< on `valid_until`; always there
};

/// Makes it: with a job of its callouts.
/// @throws InputError [statement-void], [statement-expired]; else as `answer`
Statement statement(const Shop& shop, const Job& job, const StatementOptions& options);

/// Makes the capability sheet of a shop. @throws as above
Statement statement(const Shop& shop, const StatementOptions& options);

} // namespace holdable
