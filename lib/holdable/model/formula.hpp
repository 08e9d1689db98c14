// SPDX-License-Identifier: MIT
/// Formulas as text, compiled to a tape.
///
/// The language: `+ - * / ^`, parentheses, numbers, names, `pi`, and the functions of
/// `function_table()`. `^` binds tighter than a sign before it and to the right: -2^2 = -4,
/// 2^3^2 = 512. `log` is natural; angles are in radians. `min`, `max` and `hypot` take two or more
/// arguments. A name begins with a letter or `_`; letters beyond ASCII (α, Δt) are letters.
#pragma once

#include "holdable/model/tape.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace holdable::model {

/// One function of the language.
struct Function {
    std::string_view name;
    Operation operation;
    int arity;     ///< number of arguments
    bool variadic; ///< takes more arguments too, folded from the left
};

/// All functions of the language, by name.
const std::vector<Function>& function_table();

/// Compiles formulas over named inputs into one tape.
///
/// A step is a formula with a name that later formulas may use. Operations on constants are done
/// while compiling. Diagnostics have line 1 and the column within the formula, and their hint ends
/// with the formula and a caret below the place.
class Compiler {
  public:
    /// Nesting of parentheses, signs and powers allowed.
    static constexpr int most_depth = 100;
    /// Length of one formula (bytes) allowed.
    static constexpr std::size_t most_text = 10'000;

    /// @param inputs names of the inputs, in the order of the registers
    explicit Compiler(const std::vector<std::string>& inputs);

    /// Adds a formula that later ones may use by name.
    /// @throws InputError [formula-syntax, formula-name, formula-arity, formula-depth,
    /// formula-value]
    void step(const std::string& name, std::string_view formula);

    /// Adds a formula whose value is an output. @throws InputError as `step`
    void output(std::string_view formula);

    /// What has been compiled so far.
    const Tape& tape() const { return tape_; }

  private:
    friend class FormulaParser;

    struct Name {
        std::string name;
        std::uint32_t at;
    };

    Tape tape_;
    std::vector<Name> names_;
};

/// Whether a name may stand in a formula: well formed, and neither `pi` nor a function.
bool is_name(std::string_view name);

} // namespace holdable::model
