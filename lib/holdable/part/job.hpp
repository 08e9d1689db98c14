// SPDX-License-Identifier: MIT
/// What a customer asks for, and how the shop means to cut it. Plain facts in SI units.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/decide/rule.hpp"
#include "holdable/part/callout.hpp"
#include "holdable/part/process.hpp"

#include <optional>
#include <string>
#include <vector>

namespace holdable {

/// Temperatures while cutting; none given = typical doubt about 20 °C.
struct Temperatures {
    double part = 293.15;  ///< mean while cut (K)
    double scale = 293.15; ///< of screws or scales (K)
    double doubt = 3;      ///< half-width of each, rectangular (K)
    Evidence evidence = Evidence::typical;
    bool stated = false; ///< the job says so
};

/// From one end to the other (m).
struct Band {
    double low = 0, high = 0;
};

/// Where the part may lie on the table: what fixture, vise and clamps leave free.
struct WorkArea {
    std::optional<Band> x, y; ///< of its outline, machine coordinates; none: as far as the travel
    std::optional<Band> lift; ///< of its underside, above where the job has it; none: not lifted
};

/// A job.
struct Job {
    std::string name;
    std::string drawing, revision; ///< of the print
    std::string customer, quote;   ///< whose it is, and by which number it is quoted
    std::string material;          ///< as in standards/expansion.hpp
    int quantity = 1;
    std::optional<Date> date;                 ///< day of cutting
    bool critical = false;                    ///< lifting, pressure, medical, flight
    std::optional<decide::CustomerRule> rule; ///< by which readings decide; none: 95 % is proved
    std::optional<Extent> part;               ///< outline of the part on the table
    bool several_setups = false;              ///< the promise covers several set-ups
    Process process;
    bool process_typical = false;   ///< "process": "typical" was written
    std::optional<double> duration; ///< from setting the zero to the last cut (s); none: a shift
    double warmed_up = 0;           ///< how long the spindle ran before the zero was set (s)
    Temperatures temperatures;
    std::vector<Callout> callouts;
    bool indices = false;           ///< capability indices are asked for too
    bool inch = false;              ///< units of the print
    std::vector<std::string> notes; ///< what looks odd in its file, each with the place
    WorkArea may_lie;               ///< in another place, where one is looked for
    bool may_turn = true;           ///< by quarter turns there
};

} // namespace holdable
