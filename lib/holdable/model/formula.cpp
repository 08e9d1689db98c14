// SPDX-License-Identifier: MIT
#include "holdable/model/formula.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/printable.hpp"

#include <fmt/format.h>

#include <charconv>
#include <numbers>
#include <numeric>
#include <optional>

namespace holdable::model {
namespace {

const std::vector<Function> functions = {
    {"abs", Operation::abs, 1, false},
    {"acos", Operation::acos, 1, false},
    {"asin", Operation::asin, 1, false},
    {"atan", Operation::atan, 1, false},
    {"atan2", Operation::atan2, 2, false},
    {"cos", Operation::cos, 1, false},
    {"cosh", Operation::cosh, 1, false},
    {"exp", Operation::exp, 1, false},
    {"hypot", Operation::hypot, 2, true},
    {"log", Operation::log, 1, false},
    {"log10", Operation::log10, 1, false},
    {"max", Operation::max, 2, true},
    {"min", Operation::min, 2, true},
    {"sin", Operation::sin, 1, false},
    {"sinh", Operation::sinh, 1, false},
    {"sqrt", Operation::sqrt, 1, false},
    {"tan", Operation::tan, 1, false},
    {"tanh", Operation::tanh, 1, false},
};

const Function* find_function(std::string_view name) {
    const auto found = std::find_if(
        functions.begin(), functions.end(), [&](const Function& f) { return f.name == name; });
    return found == functions.end() ? nullptr : &*found;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool begins_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' ||
           static_cast<unsigned char>(c) >= 0x80;
}

bool goes_on_in_name(char c) {
    return begins_name(c) || is_digit(c);
}

// Signs beyond ASCII that are no letters, and what to write for them.
struct Sign {
    std::string_view spelling, ascii;
};

constexpr Sign signs[] = {{"\u2212", "-"},
                          {"\u2013", "-"},
                          {"\u00d7", "*"},
                          {"\u00b7", "*"},
                          {"\u22c5", "*"},
                          {"\u00f7", "/"},
                          {"\u221a", "sqrt"},
                          {"\u00b2", "^2"},
                          {"\u00b3", "^3"},
                          {"\u00b0", "a fixed input in °"},
                          {"\u00a0", "a blank"}};

const Sign* sign_at(std::string_view text) {
    for (const auto& sign : signs)
        if (text.starts_with(sign.spelling))
            return &sign;
    return nullptr;
}

std::size_t name_length(std::string_view text) {
    if (text.empty() || !begins_name(text[0]))
        return 0;
    std::size_t length = 0;
    while (length < text.size() && goes_on_in_name(text[length]) && !sign_at(text.substr(length)))
        ++length;
    return length;
}

// Characters (not bytes) of UTF-8 text.
int characters(std::string_view text) {
    return static_cast<int>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) >> 6) != 2;
    }));
}

// Levenshtein distance: insertions, deletions and replacements to turn one into the other.
std::size_t edits(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), 0U);
    for (const char from : a) {
        std::size_t diagonal = row[0]++;
        for (std::size_t j = 0; j < b.size(); ++j) {
            const std::size_t replaced = diagonal + (from != b[j]);
            diagonal = row[j + 1];
            row[j + 1] = std::min({replaced, diagonal + 1, row[j] + 1});
        }
    }
    return row.back();
}

} // namespace

// Precedence climbing over the text, writing instructions as it goes.
class FormulaParser {
  public:
    FormulaParser(Compiler& compiler, std::string_view text)
        : names_(compiler.names_), tape_(compiler.tape_), kinds_(compiler.kinds_), text_(text) {}

    // @param unit of the output, if it has one; @param is_output the result leaves the formulas
    std::uint32_t run(const Unit* unit, bool is_output) {
        if (text_.size() > Compiler::most_text)
            throw InputError(
                "formula-depth",
                fmt::format("the formula is longer than {} bytes", Compiler::most_text),
                "split it into steps");
        const auto code = tape_.code.size();
        try {
            const auto result = expression(0);
            if (at_ < text_.size())
                unexpected();
            if (is_output)
                located(text_.find_first_not_of(" \t\r\n"), [&] {
                    unit != nullptr ? check_output(kinds_[result], *unit)
                                    : check_output(kinds_[result]);
                });
            return result;
        } catch (...) {
            tape_.code.resize(code); // a refused formula leaves no trace
            kinds_.resize(tape_.registers());
            throw;
        }
    }

  private:
    [[noreturn]] void fail(std::size_t at, const InputError& error) const {
        auto diagnostic = error.diagnostics().front();
        const int column = characters(text_.substr(0, at)) + 1;
        diagnostic.location.line = 1;
        diagnostic.location.column = column;
        const auto line = blanked(text_);
        if (!diagnostic.hint.empty())
            diagnostic.hint += '\n';
        diagnostic.hint +=
            fmt::format("    {}\n    {:>{}}", line, '^', static_cast<std::size_t>(column));
        throw InputError({diagnostic});
    }

    // Gives what `check` throws its place in the formula.
    void located(std::size_t place, const auto& check) const {
        try {
            check();
        } catch (const InputError& error) {
            fail(place, error);
        }
    }

    void skip_blanks() {
        while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\t' ||
                                      text_[at_] == '\n' || text_[at_] == '\r'))
            ++at_;
    }

    bool take(char c) {
        skip_blanks();
        if (at_ >= text_.size() || text_[at_] != c)
            return false;
        ++at_;
        return true;
    }

    // What stands at the reader, as text for a message.
    std::string here() const {
        if (at_ >= text_.size())
            return "the end of the formula";
        std::size_t length = name_length(text_.substr(at_));
        if (length == 0)
            for (length = 1; at_ + length < text_.size() &&
                             (static_cast<unsigned char>(text_[at_ + length]) >> 6) == 2;)
                ++length;
        return fmt::format("\"{}\"", text_.substr(at_, length));
    }

    // An operand has ended and what follows is no operator.
    [[noreturn]] void unexpected() {
        skip_blanks();
        const auto rest = text_.substr(at_);
        std::string hint;
        if (const auto* sign = sign_at(rest))
            hint = fmt::format("write {}", sign->ascii);
        else if (rest.starts_with(")"))
            hint = "this parenthesis was never opened";
        else if (rest.starts_with(","))
            hint = "a comma stands only between arguments; decimals have a point";
        else if (!rest.empty() && (goes_on_in_name(rest[0]) || rest[0] == '.' || rest[0] == '('))
            hint = "an operator is missing; write * to multiply";
        fail(at_,
             InputError("formula-syntax",
                        fmt::format("expected an operator or the end, found {}", here()),
                        hint));
    }

    bool is_constant(std::uint32_t at) const {
        return at >= tape_.inputs && tape_.code[at - tape_.inputs].operation == Operation::constant;
    }

    std::optional<double> constant_at(std::uint32_t at) const {
        return is_constant(at) ? std::optional(tape_.code[at - tape_.inputs].constant)
                               : std::nullopt;
    }

    // Writes an instruction, or its value where all operands are constants.
    std::uint32_t
    emit(std::size_t place, Operation operation, std::uint32_t first, std::uint32_t second) {
        const bool binary = second != no_operand;
        if (!binary)
            second = first;
        if (operation == Operation::divide && constant_at(second) == 0.0)
            fail(place, InputError("formula-value", "division by zero", ""));
        Kind kind;
        located(place, [&] {
            kind = kind_after(
                operation, kinds_[first], kinds_[second], constant_at(first), constant_at(second));
        });
        if (!is_constant(first) || !is_constant(second)) {
            tape_.code.push_back({operation, first, second, 0});
            kinds_.push_back(kind);
            return last();
        }
        const double a = tape_.code[first - tape_.inputs].constant;
        const double b = tape_.code[second - tape_.inputs].constant;
        const Tape folding{2, {{operation, 0, 1, 0}}, {2}};
        std::vector<double> registers{a, b, 0};
        evaluate(folding, registers);
        return constant(place, registers[2]);
    }

    std::uint32_t constant(std::size_t place, double value) {
        if (!std::isfinite(value))
            fail(place,
                 InputError("formula-value", "this part of the formula has no finite value", ""));
        tape_.code.push_back({Operation::constant, 0, 0, value});
        kinds_.emplace_back();
        return last();
    }

    std::uint32_t last() const { return static_cast<std::uint32_t>(tape_.registers() - 1); }

    // Binding: + - 1, * / 2, sign 3, ^ 4.
    std::uint32_t expression(int binding) {
        skip_blanks();
        if (++depth_ > Compiler::most_depth)
            fail(at_,
                 InputError("formula-depth",
                            fmt::format("nested more than {} deep", Compiler::most_depth),
                            "split the formula into steps"));
        auto left = prefix();
        for (;;) {
            skip_blanks();
            const char c = at_ < text_.size() ? text_[at_] : '\0';
            const std::size_t place = at_;
            Operation operation{};
            int strength = 0;
            // clang-format off
            switch (c) {
            case '+': operation = Operation::add;      strength = 1; break;
            case '-': operation = Operation::subtract; strength = 1; break;
            case '*': operation = Operation::multiply; strength = 2; break;
            case '/': operation = Operation::divide;   strength = 2; break;
            case '^': operation = Operation::power;    strength = 4; break;
            default: break;
            }
            // clang-format on
            if (strength <= binding)
                break;
            ++at_;
            if (c == '*' && at_ < text_.size() && text_[at_] == '*')
                fail(place, InputError("formula-syntax", "\"**\" is no operator", "write ^"));
            // Right of ^ may stand a sign and another ^: 2^-x^2 = 2^(-(x^2)).
            const auto right = expression(operation == Operation::power ? 2 : strength);
            left = emit(place, operation, left, right);
        }
        --depth_;
        return left;
    }

    std::uint32_t prefix() {
        const std::size_t place = at_;
        if (take('-'))
            return emit(place, Operation::negate, expression(3), no_operand);
        if (take('+'))
            return expression(3);
        if (take('(')) {
            const auto inside = expression(0);
            close(place);
            return inside;
        }
        const auto rest = text_.substr(at_);
        if (!rest.empty() && (is_digit(rest[0]) || rest[0] == '.'))
            return number();
        if (name_length(rest) > 0)
            return name();
        std::string hint;
        if (const auto* sign = sign_at(rest))
            hint = fmt::format("write {}", sign->ascii);
        fail(at_,
             InputError("formula-syntax",
                        fmt::format("expected a number, a name or \"(\", found {}", here()),
                        hint));
    }

    void close(std::size_t opened) {
        if (take(')'))
            return;
        if (at_ < text_.size())
            unexpected();
        fail(opened, InputError("formula-syntax", "this parenthesis is never closed", ""));
    }

    std::uint32_t number() {
        double value = 0;
        const char* begin = text_.data() + at_;
        const auto [end, error] = std::from_chars(begin, text_.data() + text_.size(), value);
        if (error == std::errc::invalid_argument)
            fail(at_, InputError("formula-syntax", "a point without digits", ""));
        if (error != std::errc{})
            fail(at_, InputError("formula-value", "the number is out of range", ""));
        const std::size_t place = at_;
        at_ += static_cast<std::size_t>(end - begin);
        return constant(place, value);
    }

    std::uint32_t name() {
        const std::size_t place = at_;
        const auto word = text_.substr(at_, name_length(text_.substr(at_)));
        at_ += word.size();
        const auto* function = find_function(word);
        const std::size_t after = at_;
        if (take('('))
            return call(place, word, function);
        at_ = after;
        if (function != nullptr)
            fail(place,
                 InputError("formula-arity",
                            fmt::format("\"{}\" is a function and stands without arguments", word),
                            fmt::format("write {}(…)", word)));
        if (word == "pi")
            return constant(place, std::numbers::pi);
        for (const auto& known : names_)
            if (known.name == word)
                return known.at;
        fail(place,
             InputError("formula-name", fmt::format("unknown name \"{}\"", word), nearest(word)));
    }

    std::uint32_t call(std::size_t place, std::string_view word, const Function* function) {
        if (function == nullptr) {
            const bool known =
                word == "pi" || std::any_of(names_.begin(), names_.end(), [&](const auto& n) {
                    return n.name == word;
                });
            if (known)
                fail(place,
                     InputError("formula-name",
                                fmt::format("\"{}\" is a value, not a function", word),
                                "write * to multiply"));
            fail(place,
                 InputError(
                     "formula-name", fmt::format("unknown function \"{}\"", word), nearest(word)));
        }
        const std::size_t opened = at_ - 1;
        int count = 0;
        std::uint32_t result = 0;
        if (!take(')')) {
            do {
                const auto argument = expression(0);
                ++count;
                if (function->arity == 1)
                    result = count == 1 ? argument : result;
                else
                    result =
                        count == 1 ? argument : emit(place, function->operation, result, argument);
            } while (take(','));
            close(opened);
        }
        if (count < function->arity || (count > function->arity && !function->variadic))
            fail(place,
                 InputError("formula-arity",
                            fmt::format("\"{}\" takes {}{} argument{}, not {}",
                                        word,
                                        function->arity,
                                        function->variadic ? " or more" : "",
                                        function->arity == 1 ? "" : "s",
                                        count),
                            ""));
        if (function->arity == 1)
            result = emit(place, function->operation, result, no_operand);
        return result;
    }

    std::string nearest(std::string_view word) const {
        std::string best;
        std::size_t fewest = word.size() / 3 + 2; // more edits than that help nobody
        const auto consider = [&](std::string_view candidate) {
            const auto n = edits(word, candidate);
            if (n < fewest && n < std::max(word.size(), candidate.size())) {
                fewest = n;
                best = candidate;
            }
        };
        for (const auto& known : names_)
            consider(known.name);
        for (const auto& f : functions)
            consider(f.name);
        consider("pi");
        return best.empty() ? "" : fmt::format("did you mean \"{}\"?", best);
    }

    static constexpr std::uint32_t no_operand = UINT32_MAX;

    const std::vector<Compiler::Name>& names_;
    Tape& tape_;
    std::vector<Kind>& kinds_;
    std::string_view text_;
    std::size_t at_ = 0;
    int depth_ = 0;
};

const std::vector<Function>& function_table() {
    return functions;
}

bool is_name(std::string_view name) {
    return !name.empty() && name_length(name) == name.size() && name != "pi" &&
           find_function(name) == nullptr;
}

std::vector<Input> numbers(const std::vector<std::string>& names) {
    std::vector<Input> result;
    for (const auto& name : names)
        result.push_back({name, {}});
    return result;
}

Compiler::Compiler(const std::vector<Input>& inputs) {
    tape_.inputs = inputs.size();
    for (const auto& [name, kind] : inputs) {
        assert(is_name(name));
        names_.push_back({name, static_cast<std::uint32_t>(names_.size())});
        kinds_.push_back(kind);
        if (kind.opaque.empty())
            continue;
        auto note =
            fmt::format("the unit \"{}\" is not known and is carried unchecked", kind.opaque);
        if (std::find(notes_.begin(), notes_.end(), note) == notes_.end())
            notes_.push_back(std::move(note));
    }
}

void Compiler::step(const std::string& name, std::string_view formula) {
    assert(is_name(name));
    const auto at = FormulaParser(*this, formula).run(nullptr, false);
    names_.push_back({name, at});
}

void Compiler::output(std::string_view formula) {
    tape_.outputs.push_back(FormulaParser(*this, formula).run(nullptr, true));
}

void Compiler::output(std::string_view formula, const Unit& unit) {
    tape_.outputs.push_back(FormulaParser(*this, formula).run(&unit, true));
    const auto& kind = kinds_[tape_.outputs.back()];
    if (kind.unchecked || !kind.opaque.empty())
        notes_.push_back(fmt::format(
            "the unit \"{}\" of \"{}\" is a label: it is not checked, as an input has a unit "
            "that is not known",
            unit.spelling,
            formula));
}

} // namespace holdable::model
