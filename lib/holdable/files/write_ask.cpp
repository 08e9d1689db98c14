// SPDX-License-Identifier: MIT
#include "holdable/base/quantity.hpp"
#include "holdable/files/ask.hpp"
#include "holdable/files/ask_words.hpp"

#include <fmt/format.h>

namespace holdable {
namespace {

/// Writes lengths: a unit at each where the line mixes in and mm, else once.
class Lengths {
  public:
    explicit Lengths(const AskedQuestion& question) {
        bool inch = false, metric = false;
        for_each_length(question, [&](const AskedLength& length) {
            (of_inch(length.unit) ? inch : metric) = true;
        });
        mixed_ = inch && metric;
    }

    std::string text(const AskedLength& length) {
        return shows(length.unit) ? fmt::format("{} {}", length.number, word(length.unit))
                                  : length.number;
    }

    std::string text(const AskedPlace& place) {
        auto x = text(place.x);
        return x + "," + text(place.y);
    }

    std::string text(const AskedExtent& extent) {
        auto x = text(extent.x);
        return x + " x " + text(extent.y);
    }

    std::string text(const AskedSize& size) {
        auto text = size_text(size);
        if (!shows(size.first.unit)) {
            const auto unit = " " + std::string(word(size.first.unit));
            text.erase(text.find(unit), unit.size());
        }
        return text;
    }

  private:
    bool shows(AskedUnit unit) {
        const bool base = unit == AskedUnit::inch || unit == AskedUnit::mm;
        const bool shown = mixed_ || !base || !stated_;
        stated_ = stated_ || base;
        return shown;
    }

    bool mixed_ = false;
    bool stated_ = false;
};

std::string written(const AskedCallout& c, Lengths& lengths) {
    std::string text = c.count > 1 ? fmt::format("{}X ", c.count) : "";
    if (c.kind != Requirement::diameter && c.kind != Requirement::distance)
        text += fmt::format("{} ", kind_word(c.kind, c.depth));
    const bool round = c.kind == Requirement::position || c.kind == Requirement::perpendicularity ||
                       c.kind == Requirement::diameter || c.axis;
    if (round)
        text += "\u00d8";
    text += c.size ? lengths.text(*c.size) : lengths.text(*c.tolerance);
    if (c.of)
        text += " of \u00d8" + lengths.text(*c.of);
    if (c.over)
        text += " over " + lengths.text(*c.over);
    if (c.extent)
        text += " over " + lengths.text(*c.extent);
    if (c.kind == Requirement::straightness && !c.axis)
        text += c.along_y ? " along Y" : " along X";
    if (c.circle)
        text += " on \u00d8" + lengths.text(*c.circle);
    std::string_view before = c.kind == Requirement::distance ? " between " : " at ";
    for (const auto& place : c.places) {
        text += std::string(before) + lengths.text(place);
        before = " and ";
    }
    switch (c.datum) {
    case AskedDatum::none:
        break;
    case AskedDatum::plane:
    case AskedDatum::edges:
        text += " to " + c.datum_name;
        break;
    case AskedDatum::seat:
        text += " to seat";
        break;
    case AskedDatum::each_other:
        text += " to each other";
        break;
    }
    if (c.making)
        text += fmt::format(" {}", making_word(*c.making));
    return text;
}

} // namespace

std::string_view word(AskedUnit unit) {
    switch (unit) {
    case AskedUnit::inch:
        return "in";
    case AskedUnit::mm:
        return "mm";
    case AskedUnit::um:
        return "\u00b5m";
    case AskedUnit::thou:
        return "thou";
    case AskedUnit::uin:
        return "\u00b5in";
    }
    return {};
}

bool of_inch(AskedUnit unit) {
    return unit == AskedUnit::inch || unit == AskedUnit::thou || unit == AskedUnit::uin;
}

double AskedLength::value() const {
    return parse_as(Measure::length, fmt::format("{} {}", number, word(unit)));
}

std::string size_text(const AskedSize& size) {
    const auto& first = size.first.number;
    const auto unit = word(size.first.unit);
    switch (size.form) {
    case AskedSize::Form::plus_minus:
        return fmt::format("{} \u00b1{} {}", first, size.second, unit);
    case AskedSize::Form::deviations:
        return fmt::format("{} {}/{} {}", first, size.second, size.third, unit);
    case AskedSize::Form::limits:
        return fmt::format("{}/{} {}", first, size.second, unit);
    case AskedSize::Form::fit:
        return fmt::format("{} {} {}", first, unit, size.second);
    }
    return {};
}

bool of_holes(const AskedCallout& callout) {
    switch (callout.kind) {
    case Requirement::flatness:
    case Requirement::parallelism:
    case Requirement::height:
        return false;
    case Requirement::straightness:
        return callout.axis;
    default:
        return true;
    }
}

std::string write_ask(const AskedQuestion& question) {
    Lengths lengths(question);
    std::string text;
    for (const auto& c : question.callouts)
        text += (text.empty() ? "" : "; ") + written(c, lengths);
    if (question.part)
        text += " part " + lengths.text(*question.part);
    if (question.corner)
        text += " from " + lengths.text(*question.corner);
    if (!question.material.empty())
        text += " in " + question.material;
    if (question.quantity)
        text += fmt::format(" qty {}", *question.quantity);
    if (question.critical)
        text += " critical";
    return text;
}

} // namespace holdable
