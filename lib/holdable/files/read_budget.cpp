// SPDX-License-Identifier: MIT
#include "holdable/files/read_budget.hpp"

#include "holdable/base/words.hpp"
#include "holdable/files/budget_numbers.hpp"
#include "holdable/files/fields.hpp"
#include "holdable/files/limits.hpp"
#include "holdable/files/reader.hpp"
#include "holdable/propagate/gum.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

namespace holdable {
namespace {

using propagate::Budget;
using propagate::BudgetInput;
using propagate::BudgetPart;
using propagate::BudgetUnit;

constexpr double middle_slack = 1e-9; // of the width: rounding of decimals

// Beyond these nobody knows what he says, and quantiles leave the range of a double.
constexpr Range some_dof = {.low = 0.5};
constexpr Range some_doubt = {.low = 1e-6, .high = 1};
constexpr Range some_confidence = {.low = 0.01, .high = 1, .high_open = true};
constexpr double least_shape = 0.01; // mean over standard deviation of a gamma law
constexpr double most_shape = 1000;

enum class Kind {
    fixed,
    normal,
    student,
    rectangular,
    triangular,
    arcsine,
    trapezoid,
    inexact_rectangular,
    exponential,
    gamma,
    readings
};

const std::vector<std::pair<std::string_view, Kind>> kinds = {
    {"fixed", Kind::fixed},
    {"normal", Kind::normal},
    {"student", Kind::student},
    {"rectangular", Kind::rectangular},
    {"triangular", Kind::triangular},
    {"arcsine", Kind::arcsine},
    {"trapezoid", Kind::trapezoid},
    {"inexact_rectangular", Kind::inexact_rectangular},
    {"exponential", Kind::exponential},
    {"gamma", Kind::gamma},
    {"readings", Kind::readings}};

/// What the centre of a law is to the input.
enum class Centre {
    whole, ///< its estimate, which must be given
    first, ///< of a part, the estimate that the others are added to
    added  ///< of a part, added to the estimate
};

void given_twice(const Reader& item, std::string_view one, std::string_view other) {
    item.report(Diagnostic{"given-twice",
                           {},
                           fmt::format("\"{}\" and \"{}\" both stand here", one, other),
                           "the two say the same thing: remove one of them"});
}

/// Degrees of freedom of a Type B law: `dof`, or `doubt` (GUM G.4.2).
std::optional<double> read_dof(const Reader& item) {
    const auto dof = item.find("dof");
    const auto doubt = item.find("doubt");
    if (dof && doubt)
        given_twice(item, "dof", "doubt");
    if (dof)
        if (const double nu = dof->number(some_dof); nu > 0)
            return nu;
    if (doubt)
        if (const double part = doubt->quantity(Measure::number, some_doubt); part > 0)
            return propagate::degrees_of_freedom_of_doubt(part);
    return std::nullopt;
}

/// Reads the law of an input or a part.
class LawReader {
  public:
    LawReader(const Reader& item,
              InputNumbers numbers,
              Centre centre,
              std::vector<std::string>& notes)
        : item_(item), numbers_(std::move(numbers)), centre_(centre), notes_(notes) {}

    stats::Distribution read(Kind kind) {
        using namespace stats;
        switch (kind) {
        case Kind::fixed:
            return Fixed{value()};
        case Kind::normal:
            return normal();
        case Kind::student: {
            const double mean = value();
            const double scale = numbers_.spread(item_.at("scale"), value_);
            const double nu = item_.at("dof").number(some_dof);
            return Student{mean, scale, nu > 0 ? nu : 1};
        }
        case Kind::rectangular:
            return symmetric<Rectangular>();
        case Kind::triangular:
            return symmetric<Triangular>();
        case Kind::arcsine:
            return symmetric<Arcsine>();
        case Kind::trapezoid: {
            auto law = symmetric<Trapezoid>();
            law.top = item_.at("top").quantity(Measure::number, Range::closed(0, 1));
            return law;
        }
        case Kind::inexact_rectangular: {
            auto law = symmetric<InexactRectangular>();
            law.half_width_doubt = numbers_.spread(item_.at("half_width_doubt"), value_);
            return law;
        }
        case Kind::exponential:
            return Exponential{numbers_.positive(item_.at("mean")), read_dof(item_)};
        case Kind::gamma:
            return gamma();
        case Kind::readings:
            return readings();
        }
        return Fixed{};
    }

  private:
    double place(const Reader& field) const {
        return centre_ == Centre::added ? numbers_.shift(field) : numbers_.place(field);
    }

    /// `value`, or 0 for a part that has none.
    double value() {
        if (centre_ == Centre::whole)
            value_ = place(item_.at("value", "a correction whose estimate is 0 is written as 0"));
        else if (const auto field = item_.find("value"))
            value_ = place(*field);
        return value_.value_or(0);
    }

    stats::Distribution normal() {
        stats::Normal law{value(), 0, {}};
        const auto standard = item_.find("standard");
        const auto expanded = item_.find("expanded");
        if (standard && expanded)
            given_twice(item_, "standard", "expanded");
        law.dof = read_dof(item_);
        if (expanded) {
            const double factor = coverage_factor(*expanded, law.dof);
            law.standard = numbers_.spread(*expanded, value_) / factor;
        } else {
            law.standard = numbers_.spread(
                item_.at("standard", "or \"expanded\", with \"k\" or \"confidence\""), value_);
        }
        return law;
    }

    double coverage_factor(const Reader& expanded, const std::optional<double>& dof) const {
        const auto k = item_.find("k");
        const auto confidence = item_.find("confidence");
        if (k && confidence)
            given_twice(item_, "k", "confidence");
        double factor = 1;
        if (k) {
            factor = k->number(Range::positive());
        } else if (confidence) {
            const double p = confidence->quantity(Measure::number, some_confidence);
            if (p > 0)
                factor = propagate::coverage_factor(p, dof);
        } else {
            expanded.report(Diagnostic{
                "certificate-k",
                {},
                "an expanded uncertainty without the factor it was made with says nothing",
                "add \"k\": 2 as the certificate states it, or \"confidence\": 0.95"});
        }
        return factor > 0 ? factor : 1;
    }

    /// A law between limits: `half_width`, or `low` and `high`.
    template <class Law>
    Law symmetric() {
        Law law;
        const auto low = item_.find("low");
        const auto high = item_.find("high");
        if (low || high) {
            std::tie(law.mean, law.half_width) = limits();
            if (const auto field = item_.find("half_width")) {
                given_twice(item_, "half_width", "low");
                numbers_.spread(*field, std::nullopt);
            }
        } else {
            law.mean = value();
            law.half_width =
                numbers_.spread(item_.at("half_width", "or \"low\" and \"high\""), value_);
        }
        law.dof = read_dof(item_);
        return law;
    }

    /// Middle and half-width of `low` … `high`.
    std::pair<double, double> limits() {
        double low = 0, high = 0, middle = 0;
        const auto value = item_.find("value");
        const bool whole = sound(item_, [&] {
            low = place(item_.at("low", "\"low\" and \"high\" stand together"));
            high = place(item_.at("high", "\"low\" and \"high\" stand together"));
            middle = low + (high - low) / 2;
            if (value)
                value_ = place(*value);
        });
        if (!whole || item_.node() == nullptr)
            return {0, 0};
        if (!(low < high)) {
            item_.at("high").report(
                Diagnostic{"budget-limits", {}, "\"high\" is not above \"low\"", ""});
            return {0, 0};
        }
        if (value && std::abs(*value_ - middle) > middle_slack * (high - low)) {
            value->report(
                Diagnostic{"budget-limits",
                           {},
                           "the value is not in the middle of \"low\" and \"high\"",
                           "these kinds are symmetric: leave the value out to use the middle, or "
                           "make the difference an input of its own (GUM 4.3.8)"});
            return {0, 0};
        }
        value_ = middle;
        return {middle, (high - low) / 2};
    }

    stats::Distribution gamma() {
        stats::Gamma law;
        const auto standard = item_.at("standard");
        const bool whole = sound(item_, [&] {
            law.mean = numbers_.positive(item_.at("mean"));
            law.standard = numbers_.positive(standard);
        });
        const double ratio = law.mean / law.standard;
        if (whole && !(least_shape <= ratio && ratio <= most_shape)) {
            standard.report(Diagnostic{
                "value-range",
                {},
                fmt::format("out of range: the mean is {:.4g} times the standard deviation", ratio),
                fmt::format("it must be {} to {} times", least_shape, most_shape)});
            return stats::Gamma{};
        }
        law.dof = read_dof(item_);
        return law;
    }

    stats::Distribution readings() {
        stats::Readings law;
        const auto list = item_.at("values");
        const bool whole = sound(item_, [&] {
            for (const Reader& field : list.elements())
                law.values.push_back(place(field));
        });
        if (!whole || law.values.empty())
            return law;
        const auto [least, most] = std::minmax_element(law.values.begin(), law.values.end());
        if (law.values.size() == 2)
            notes_.push_back(remark(list, "two readings say little of their scatter"));
        if (law.values.size() > 1 && *least == *most)
            notes_.push_back(
                remark(list, "all readings are the same: the resolution hides their scatter"));
        return law;
    }

    const Reader& item_;
    InputNumbers numbers_;
    Centre centre_;
    std::vector<std::string>& notes_;
    std::optional<double> value_; // what a spread in percent is of
};

/// What compile says stands where: its pointers → readers.
using Places = std::map<std::string, Reader>;

class BudgetReader {
  public:
    explicit BudgetReader(Reader file) : file_(std::move(file)) {}

    Budget read() {
        expect_format(file_, "budget/1");
        file_.has("$schema"); // for editors
        if (const auto title = file_.find("title"))
            budget_.title = title->string();
        if (const auto source = file_.find("source"))
            budget_.source = source->string();
        if (const auto coverage = file_.find("coverage")) {
            double p = 0;
            if (sound(file_, [&] { p = coverage->quantity(Measure::number); })) {
                budget_.coverage = p;
                place("/coverage", *coverage);
            }
        }
        const auto before = file_.faults();
        if (!bearable())
            file_.finish();
        for (const Reader& item : file_.at("inputs").members())
            read_input(item);
        if (const auto correlations = file_.find("correlations"))
            for (const Reader& item : correlations->elements())
                read_correlation(item);
        if (const auto steps = file_.find("steps"))
            for (const Reader& item : steps->members()) {
                place("/steps/" + item.name(), item);
                budget_.steps.push_back({item.name(), read_formula(item)});
            }
        const auto outputs = file_.at("outputs");
        if (outputs.node() != nullptr && outputs.node()->kind == Node::Kind::object)
            place("/outputs", outputs);
        for (const Reader& item : outputs.members())
            read_output(item);
        compile(file_.faults() == before);
        file_.finish();
        budget_.notes = units_.notes();
        budget_.notes.insert(budget_.notes.end(), notes_.begin(), notes_.end());
        return std::move(budget_);
    }

  private:
    /// Whether what computing takes stays within bounds [too-many]; if not, nothing else is said.
    bool bearable() {
        const auto most = [this](const Reader& at,
                                 std::size_t count,
                                 std::size_t limit,
                                 std::string_view things) {
            if (count <= limit)
                return true;
            report_too_many(at, count, limit, things, "a budget");
            file_.allow_other_keys();
            return false;
        };
        bool fits = true;
        std::size_t parts = 0, pairs = 0, formulas = 0;
        for (const auto* key : {"inputs", "steps", "outputs"})
            if (const auto list = file_.find(key); list && list->node() != nullptr) {
                const auto& members = list->node()->members;
                fits = most(*list, members.size(), most_of_budget, key) && fits;
                for (const Member& member : members) {
                    formulas += member.value.text.size();
                    for (const Member& inner : member.value.members) {
                        formulas += inner.key == "formula" ? inner.value.text.size() : 0;
                        parts += inner.key == "parts" ? inner.value.elements.size() : 0;
                    }
                }
            }
        fits = most(file_, parts, most_parts, "parts") && fits;
        fits = most(file_, formulas, most_formulas, "bytes of formulas") && fits;
        if (const auto list = file_.find("correlations"); list && list->node() != nullptr) {
            for (const Node& entry : list->node()->elements)
                for (const Member& member : entry.members)
                    if (const auto names = member.value.elements.size(); member.key == "between")
                        pairs += names * (names > 0 ? names - 1 : 0) / 2;
            fits = most(*list, pairs, most_pairs, "pairs with a correlation") && fits;
        }
        return fits;
    }

    void place(std::string pointer, const Reader& reader) {
        places_.insert_or_assign(std::move(pointer), reader);
    }

    /// The unit named by the key `unit`.
    std::optional<BudgetUnit> read_unit(const Reader& item) {
        const auto field = item.find("unit");
        if (!field)
            return std::nullopt;
        std::optional<BudgetUnit> unit;
        const auto text = field->string();
        if (field->node() != nullptr && field->node()->kind == Node::Kind::string)
            field->attempt([&] { unit = units_.unit(text, *field); });
        return unit;
    }

    static Evidence usual_evidence(Kind kind, const Reader& item) {
        if (kind == Kind::readings || kind == Kind::student)
            return Evidence::measured;
        return kind == Kind::normal && item.has("expanded") ? Evidence::certificate
                                                            : Evidence::assumed;
    }

    void read_input(const Reader& item) {
        BudgetInput input;
        input.name = item.name();
        const std::string pointer = "/inputs/" + input.name;
        place(pointer, item);
        if (const auto meaning = item.find("meaning"))
            input.meaning = meaning->string();
        const auto bare = read_unit(item);
        auto unit = bare ? bare : unit_of_quantities(item, units_);
        if (item.has("parts"))
            read_parts(item, bare, unit, input);
        else
            read_single(item, bare, unit, input);
        budget_.inputs.push_back(std::move(input));
    }

    /// What reads the numbers of an input. Bare ones need a unit, unless all are without.
    InputNumbers numbers(const std::optional<BudgetUnit>& bare,
                         const std::optional<BudgetUnit>& unit) {
        return {unit.value_or(BudgetUnit{}), unit ? bare : BudgetUnit{}, units_};
    }

    void read_single(const Reader& item,
                     const std::optional<BudgetUnit>& bare,
                     const std::optional<BudgetUnit>& unit,
                     BudgetInput& input) {
        input.unit = unit.value_or(BudgetUnit{});
        BudgetPart part{stats::Fixed{}, input.meaning, Evidence::assumed};
        const auto evidence = item.find("evidence");
        if (const auto kind = read_kind(item, "kind", kinds)) {
            part.law = LawReader(item, numbers(bare, unit), Centre::whole, notes_).read(*kind);
            part.evidence = evidence ? read_evidence(*evidence) : usual_evidence(*kind, item);
        }
        input.parts.push_back(std::move(part));
    }

    void read_parts(const Reader& item,
                    const std::optional<BudgetUnit>& bare,
                    std::optional<BudgetUnit> unit,
                    BudgetInput& input) {
        const auto parts = item.at("parts").elements();
        std::vector<std::optional<BudgetUnit>> part_units;
        part_units.reserve(parts.size());
        for (const Reader& part : parts)
            part_units.push_back(read_unit(part));
        // A part that says where the input lies comes before one that is a spread only.
        for (const bool any : {false, true})
            for (std::size_t k = 0; k < parts.size() && !unit; ++k)
                if (any || has_place(parts[k]))
                    unit = part_units[k] ? part_units[k] : unit_of_quantities(parts[k], units_);
        input.unit = unit.value_or(BudgetUnit{});
        const auto own = numbers(bare, unit);
        std::optional<Evidence> evidence;
        if (const auto field = item.find("evidence"))
            evidence = read_evidence(*field);
        bool placed = false;
        if (const auto value = item.find("value")) {
            input.value = own.place(*value);
            placed = true;
        }
        for (std::size_t k = 0; k < parts.size(); ++k) {
            const auto& reader = parts[k];
            place(fmt::format("/inputs/{}/parts/{}", input.name, k), reader);
            BudgetPart part{stats::Fixed{}, {}, evidence.value_or(Evidence::assumed)};
            if (const auto meaning = reader.find("meaning"))
                part.meaning = meaning->string();
            const auto& part_unit = part_units[k];
            const auto own_evidence = reader.find("evidence");
            if (const auto kind = read_kind(reader, "kind", kinds)) {
                const bool places = has_place(reader);
                const auto centre = placed || !places ? Centre::added : Centre::first;
                if (placed && *kind == Kind::readings)
                    notes_.push_back(
                        remark(reader, "the mean of these readings is added to the value"));
                placed = placed || places;
                part.law =
                    LawReader(reader, part_unit ? own.with_bare(*part_unit) : own, centre, notes_)
                        .read(*kind);
                part.evidence = own_evidence ? read_evidence(*own_evidence)
                                             : evidence.value_or(usual_evidence(*kind, reader));
            }
            input.parts.push_back(std::move(part));
        }
        if (!placed && !parts.empty())
            item.at("value", "or one among the parts");
    }

    /// Whether the part says where the input lies, not only how far it may be from there.
    static bool has_place(const Reader& part) {
        return std::any_of(
            part.node()->members.begin(), part.node()->members.end(), [](const Member& member) {
                return member.key == "value" || member.key == "low" || member.key == "high" ||
                       member.key == "mean" || member.key == "values";
            });
    }

    void read_correlation(const Reader& item) {
        const auto between = item.at("between");
        const auto names = between.elements();
        if (names.size() < 2 && between.node() != nullptr &&
            between.node()->kind == Node::Kind::array)
            between.report(
                Diagnostic{"field-kind",
                           {},
                           fmt::format("expected the names of two inputs, found {}", names.size()),
                           "three names or more mean every pair of them"});
        std::optional<double> coefficient;
        if (const auto field = item.find("coefficient"))
            coefficient = field->number();
        for (std::size_t j = 1; j < names.size(); ++j)
            for (std::size_t i = 0; i < j; ++i) {
                place(fmt::format("/correlations/{}", budget_.correlations.size()), item);
                budget_.correlations.push_back({names[i].string(), names[j].string(), coefficient});
            }
    }

    /// A formula; a stand-in without fault where there is none.
    static std::string read_formula(const Reader& field) {
        auto formula = field.string();
        return field.node() != nullptr && field.node()->kind == Node::Kind::string ? formula : "0";
    }

    void read_output(const Reader& item) {
        const auto formula = item.at("formula");
        const std::string pointer = "/outputs/" + item.name();
        place(pointer, item);
        place(pointer + "/formula", formula);
        budget_.outputs.push_back(
            {item.name(), read_formula(formula), read_unit(item).value_or(BudgetUnit{})});
    }

    /// Reports what the budget as a whole is refused for. Where inputs are wrong, their units and
    /// laws are stand-ins, of which nothing is said.
    void compile(bool sound) {
        try {
            propagate::compile(budget_);
        } catch (const InputError& error) {
            std::set<std::string> said;
            for (const auto& diagnostic : error.diagnostics()) {
                const auto& id = diagnostic.id;
                if (!sound && (id == "formula-dimension" || id == "distribution-parameter" ||
                               id == "formula-value"))
                    continue;
                const auto found = places_.find(diagnostic.location.pointer);
                if (found == places_.end())
                    continue; // what should stand there was missed already
                const auto place = found->second.location();
                // One entry of several names is many pairs.
                if (said.insert(place.pointer + diagnostic.message).second)
                    found->second.report(diagnostic);
            }
        }
    }

    Reader file_;
    Budget budget_;
    UnknownUnits units_;
    std::vector<std::string> notes_;
    Places places_;
};

} // namespace

Budget read_budget(const Node& root, const std::string& file) {
    return BudgetReader(Reader(root, file)).read();
}

} // namespace holdable
