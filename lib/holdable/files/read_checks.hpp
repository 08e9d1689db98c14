// SPDX-License-Identifier: MIT
/// The checks of a machine file: raw readings to those of shop.hpp, with every count and place
/// compared. Each kind is read in a file of its own.
#pragma once

#include "holdable/base/date.hpp"
#include "holdable/files/check_fields.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/machine/shop.hpp"

#include <string>

namespace holdable {

/// Reads the key "checks" of a machine file into a shop whose travel, class and instruments are
/// known; adds remarks to its notes.
/// @param file the root of the machine file @param today no check was made later
void read_checks(const Reader& file, Date today, Shop& shop);

/// Reads one check of any kind, its "id" read already, into the list of that kind.
void read_check(const Reader& item, std::string name, CheckFields& fields, Shop& into);

/// Reads one check of each kind; "id" and "kind" are read already.
StraightnessCheck
read_straightness_check(const Reader& item, std::string name, CheckFields& fields);
SquareCheck read_square_check(const Reader& item, std::string name, CheckFields& fields);
FlatSquareCheck read_flat_square_check(const Reader& item, std::string name, CheckFields& fields);
LevelCheck read_level_check(const Reader& item, std::string name, CheckFields& fields);
TramCheck read_tram_check(const Reader& item, std::string name, CheckFields& fields);
TestBarCheck read_test_bar_check(const Reader& item, std::string name, CheckFields& fields);
RunOutCheck read_run_out_check(const Reader& item, std::string name, CheckFields& fields);
TableCheck read_table_check(const Reader& item, std::string name, CheckFields& fields);
PositioningCheck read_positioning_check(const Reader& item, std::string name, CheckFields& fields);
NotebookLine read_notebook_line(const Reader& item, std::string name, CheckFields& fields);
TestCut read_test_cut(const Reader& item, std::string name, CheckFields& fields);

/// A log of drift, or of a spindle that warms up.
ThermalLog
read_thermal_log(const Reader& item, std::string name, bool spindle_runs, CheckFields& fields);

CircleCheck read_circle_check(const Reader& item, std::string name, CheckFields& fields);

} // namespace holdable
