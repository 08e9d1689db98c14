// SPDX-License-Identifier: MIT
/// Files to begin with: commented, in the shop's units, ready to be filled in.
///
/// A scaffold is a right file as it stands: the readers take it, and the questions can be asked of
/// it. Its values are invented and of a usual size; what rests on them is called EXAMPLE, and a
/// machine file in which that word is left says so with every answer. Facts may be given
/// beforehand, as answers to `scaffold_questions`; what is left out stays as in the example, and
/// follows the facts where it must: the square of the example stands in the middle of the travel.
#pragma once

#include "holdable/base/date.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdable {

struct Shop;
struct Job;

/// The kinds of files that can be begun.
enum class ScaffoldKind { machine, job, gauging, budget };

/// "machine", "job", "gauging", "budget", in the order of the enumeration.
const std::vector<std::string_view>& scaffold_kinds();

/// The kind of that name, if there is one.
std::optional<ScaffoldKind> scaffold_kind(std::string_view name);

/// Facts by the key of their question, as they shall stand in the file.
using ScaffoldFacts = std::map<std::string, std::string>;

/// What the file is about.
struct ScaffoldFor {
    ScaffoldKind kind = ScaffoldKind::machine;
    bool inch = false;
    Date day{}; ///< of its dates
};

/// One thing that can be asked for beforehand.
struct ScaffoldQuestion {
    std::string key;
    std::string text;    ///< in shop words
    std::string more;    ///< what it is for, or how to find it out
    std::string example; ///< of an answer
    std::string usual;   ///< what is taken without an answer, as the facts so far have it
    std::vector<std::string> words; ///< the answers there are; empty: any
};

/// The whole file. @param facts as `accepted_fact` returns them
std::string scaffold(const ScaffoldFor& what, const ScaffoldFacts& facts = {});

/// The questions, in the order in which they are asked. @param facts those answered so far
std::vector<ScaffoldQuestion> scaffold_questions(const ScaffoldFor& what,
                                                 const ScaffoldFacts& facts = {});

/// An answer as it shall stand in the file: a bare number gets the unit of the shop. The file that
/// comes of it is read as a whole, so what a reader would refuse is refused here.
/// @throws InputError [answer-refused] with the reason, and the hint of the reader
std::string accepted_fact(const ScaffoldFor& what,
                          const ScaffoldFacts& facts,
                          const ScaffoldQuestion& question,
                          std::string_view typed);

/// Whether a name is still that of the example: it begins with EXAMPLE.
bool is_example(std::string_view name);

/// Stops where a shop, its machine, what it measures with, its checks or a job are still called
/// EXAMPLE: what goes to a customer rests on none. @throws InputError [statement-example]
void refuse_examples(const Shop& shop, const Job& job);

} // namespace holdable
