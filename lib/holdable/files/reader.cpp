// SPDX-License-Identifier: MIT
#include "holdable/files/reader.hpp"

#include "holdable/base/printable.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace holdable {
namespace {

constexpr std::size_t most_kept = 1000; // diagnostics; most_mistakes of them are told

/// What a value is, in words for "found ...".
std::string found(const Node& node) {
    switch (node.kind) {
    case Node::Kind::null:
        return "null";
    case Node::Kind::boolean:
        return node.boolean ? "true" : "false";
    case Node::Kind::number:
        return "the number " + shown_in_short(node.text);
    case Node::Kind::string:
        return "the string " + in_quotes(node.text);
    case Node::Kind::array:
        return "an array";
    case Node::Kind::object:
        return "an object";
    }
    return {};
}

const Member* find_member(const Node& object, std::string_view key) {
    const auto at = std::find_if(
        object.members.begin(), object.members.end(), [&](const auto& m) { return m.key == key; });
    return at == object.members.end() ? nullptr : &*at;
}

std::string did_you_mean(std::string_view word) {
    return fmt::format("did you mean \"{}\"?", word);
}

std::string listed(std::string_view heading, const std::vector<std::string_view>& words) {
    std::string text(heading);
    for (std::size_t i = 0; i < words.size(); ++i)
        text += fmt::format("{}\"{}\"", i == 0 ? " " : ", ", words[i]);
    return text;
}

/// The range in words, its bounds in the unit.
std::string bounds(const Range& range, const Unit* unit) {
    const Range all;
    const auto bound = [&](double value) {
        return unit == nullptr ? fmt::format("{}", value)
                               : fmt::format("{:.6g} {}", in_unit(value, *unit), unit->spelling);
    };
    std::string text;
    if (range.low > all.low)
        text = (range.low_open ? "more than " : "at least ") + bound(range.low);
    if (range.high < all.high)
        text += (text.empty() ? "" : " and ") +
                ((range.high_open ? "less than " : "at most ") + bound(range.high));
    return text;
}

} // namespace

/// What the readers of one document share.
struct Reader::Book {
    /// What was asked of an object.
    struct Asked {
        std::string pointer;
        std::vector<std::string> keys;
        /// Those that must be there and are not, each with its hint.
        std::vector<std::pair<std::string, std::string>> missing;
        bool any = false; ///< all keys are known
    };

    std::string file;
    std::vector<Diagnostic> diagnostics;
    std::map<const Node*, Asked> objects;
    std::size_t missing = 0;       ///< keys missing in all of them
    std::size_t dropped = 0;       ///< diagnostics beyond `most_kept`, of which nobody is told
    std::set<const Node*> refused; ///< values of a wrong kind, reported

    void ask(const Node* node, const std::string& pointer, std::string_view key) {
        Asked& asked = objects[node];
        asked.pointer = pointer;
        if (std::find(asked.keys.begin(), asked.keys.end(), key) == asked.keys.end())
            asked.keys.emplace_back(key);
    }

    Location at(const Place& place, std::string pointer) const {
        return {file, place.line, place.column, std::move(pointer)};
    }

    /// Puts on the list what is wrong with the keys of an object. A key misspelled is one
    /// mistake: it is reported as unknown, and not once more as missing.
    void check_keys(const Node& object, const Asked& asked, std::vector<Diagnostic>& list) const {
        std::vector<std::string_view> absent;
        for (const auto& key : asked.keys)
            if (find_member(object, key) == nullptr)
                absent.push_back(key);
        std::vector<std::string_view> meant;
        for (const Member& member : object.members) {
            if (asked.any ||
                std::find(asked.keys.begin(), asked.keys.end(), member.key) != asked.keys.end())
                continue;
            if (list.size() >= most_kept)
                break;
            const auto near = nearest(member.key, absent);
            meant.push_back(near);
            const std::vector<std::string_view> known(asked.keys.begin(), asked.keys.end());
            list.push_back(
                Diagnostic{"key-unknown",
                           at(member.place, asked.pointer + pointer_step(member.key)),
                           fmt::format("unknown key {}", in_quotes(member.key)),
                           near.empty() ? listed("known here:", known) : did_you_mean(near)});
        }
        for (const auto& [key, hint] : asked.missing)
            if (std::find(meant.begin(), meant.end(), key) == meant.end())
                list.push_back(Diagnostic{"key-missing",
                                          at(object.place, asked.pointer),
                                          fmt::format("the key \"{}\" is missing", key),
                                          hint});
    }
};

Reader::Reader(const Node& root, std::string file)
    : Reader(std::make_shared<Book>(), &root, {}, {}) {
    book_->file = std::move(file);
}

Reader::Reader(std::shared_ptr<Book> book, const Node* node, std::string pointer, std::string name)
    : book_(std::move(book)), node_(node), pointer_(std::move(pointer)), name_(std::move(name)) {}

bool Reader::has(std::string_view key) const {
    return find(key).has_value();
}

Reader Reader::at(std::string_view key, std::string_view hint) const {
    if (auto there = find(key))
        return *there;
    if (is(Node::Kind::object, "an object")) {
        auto& missing = book_->objects[node_].missing;
        if (std::none_of(
                missing.begin(), missing.end(), [&](const auto& m) { return m.first == key; })) {
            missing.emplace_back(key, hint);
            ++book_->missing;
        }
    }
    return {book_, nullptr, pointer_ + pointer_step(key), std::string(key)};
}

std::optional<Reader> Reader::find(std::string_view key) const {
    if (!is(Node::Kind::object, "an object"))
        return std::nullopt;
    book_->ask(node_, pointer_, key);
    const Member* there = find_member(*node_, key);
    return there == nullptr ? std::nullopt : std::optional(member(*there));
}

std::vector<Reader> Reader::members() const {
    std::vector<Reader> readers;
    if (!is(Node::Kind::object, "an object"))
        return readers;
    allow_other_keys();
    for (const Member& m : node_->members)
        readers.push_back(member(m));
    return readers;
}

void Reader::allow_other_keys() const {
    if (node_ != nullptr)
        book_->objects[node_].any = true;
}

std::vector<Reader> Reader::elements() const {
    std::vector<Reader> readers;
    if (is(Node::Kind::array, "an array"))
        for (std::size_t i = 0; i < node_->elements.size(); ++i)
            readers.push_back(element(i));
    return readers;
}

std::vector<double> Reader::numbers(const Range& range) const {
    std::vector<double> values;
    for (const Reader& reader : elements())
        values.push_back(reader.number(range));
    return values;
}

std::vector<double> Reader::quantities(Measure measure, const Range& range) const {
    std::vector<double> values;
    for (const Reader& reader : elements())
        values.push_back(reader.quantity(measure, range));
    return values;
}

std::string Reader::string() const {
    return is(Node::Kind::string, "a string") ? node_->text : std::string();
}

bool Reader::boolean() const {
    return is(Node::Kind::boolean, "true or false") && node_->boolean;
}

double Reader::number(const Range& range) const {
    if (!is(Node::Kind::number, "a number"))
        return 0;
    return inside(node_->number, range, nullptr) ? node_->number : 0;
}

long long Reader::integer(long long low, long long high) const {
    assert(low >= -(1LL << 53) && low <= high && high <= 1LL << 53);
    if (!is(Node::Kind::number, "a whole number"))
        return low;
    if (node_->number != std::floor(node_->number)) {
        report(Diagnostic{"field-kind", {}, "expected a whole number, found " + found(*node_), ""});
        return low;
    }
    const auto range = Range::closed(static_cast<double>(low), static_cast<double>(high));
    return inside(node_->number, range, nullptr) ? static_cast<long long>(node_->number) : low;
}

double Reader::quantity(Measure measure, const Range& range) const {
    if (node_ != nullptr && measure == Measure::number && node_->kind == Node::Kind::number)
        return number(range);
    if (!is(Node::Kind::string, describe(measure)))
        return 0;
    double value = 0;
    Unit unit;
    const bool read = attempt([&] {
        value = parse_as(measure, node_->text);
        unit = parse_quantity(node_->text).unit;
    });
    return read && inside(value, range, &unit) ? value : 0;
}

Quantity Reader::any_quantity() const {
    Quantity quantity;
    if (is(Node::Kind::string, "a number with its unit, as in \"12 µm\""))
        attempt([&] { quantity = parse_quantity(node_->text); });
    return quantity;
}

std::size_t Reader::word_index(const std::vector<std::string_view>& words) const {
    assert(!words.empty());
    if (!is(Node::Kind::string, "a word"))
        return 0;
    const auto at = std::find(words.begin(), words.end(), node_->text);
    if (at != words.end())
        return static_cast<std::size_t>(at - words.begin());
    const auto near = nearest(node_->text, words);
    report(Diagnostic{"word-unknown",
                      {},
                      fmt::format("unknown word {}", in_quotes(node_->text)),
                      near.empty() ? listed("known here:", words) : did_you_mean(near)});
    return 0;
}

Location Reader::location() const {
    return book_->at(node_ == nullptr ? Place{0, 0} : node_->place, pointer_);
}

void Reader::report(Diagnostic diagnostic) const {
    if (node_ == nullptr)
        return; // what is missing was reported already
    if (diagnostic.location.file.empty()) {
        const int inner = diagnostic.location.column;
        diagnostic.location = location();
        if (inner > 0 && node_->kind == Node::Kind::string && !node_->escaped)
            diagnostic.location.column += inner; // from the quote to the character
    }
    if (book_->diagnostics.size() < most_kept)
        book_->diagnostics.push_back(std::move(diagnostic));
    else
        ++book_->dropped;
}

bool Reader::attempt(const std::function<void()>& work) const {
    if (node_ == nullptr)
        return false;
    try {
        work();
        return true;
    } catch (const InputError& error) {
        for (const Diagnostic& diagnostic : error.diagnostics())
            report(diagnostic);
        return false;
    }
}

std::size_t Reader::faults() const {
    return book_->diagnostics.size() + book_->dropped + book_->missing;
}

void Reader::finish() const {
    auto list = book_->diagnostics;
    std::vector<std::pair<const Node*, const Book::Asked*>> objects;
    for (const auto& [object, asked] : book_->objects)
        if (object->kind == Node::Kind::object)
            objects.emplace_back(object, &asked);
    // In the order of the file, as of very many mistakes the first are kept.
    std::sort(objects.begin(), objects.end(), [](const auto& a, const auto& b) {
        return std::tie(a.first->place.line, a.first->place.column) <
               std::tie(b.first->place.line, b.first->place.column);
    });
    for (const auto& [object, asked] : objects)
        book_->check_keys(*object, *asked, list);
    if (list.empty())
        return;
    std::stable_sort(list.begin(), list.end(), [](const auto& a, const auto& b) {
        return std::tie(a.location.line, a.location.column) <
               std::tie(b.location.line, b.location.column);
    });
    // What holds for several runs is read by each of them, and said once.
    list.erase(std::unique(list.begin(),
                           list.end(),
                           [](const auto& a, const auto& b) {
                               return std::tie(
                                          a.location.line, a.location.column, a.id, a.message) ==
                                      std::tie(b.location.line, b.location.column, b.id, b.message);
                           }),
               list.end());
    if (list.size() > most_mistakes) {
        list.resize(most_mistakes + 1);
        list.back() = more_mistakes(list.back().location);
    }
    throw InputError(std::move(list));
}

/// Whether the value is of that kind; if not, says so once.
bool Reader::is(Node::Kind kind, std::string_view wanted) const {
    if (node_ == nullptr)
        return false;
    if (node_->kind == kind)
        return true;
    if (!book_->refused.insert(node_).second)
        return false;
    const bool unit_missing = kind == Node::Kind::string && node_->kind == Node::Kind::number &&
                              wanted.find('"') != std::string_view::npos;
    report(Diagnostic{"field-kind",
                      {},
                      fmt::format("expected {}, found {}", wanted, found(*node_)),
                      unit_missing ? "write it in quotes, with its unit" : ""});
    return false;
}

/// Whether the value of this field is in the range; if not, says so, with bounds in `unit`.
bool Reader::inside(double value, const Range& range, const Unit* unit) const {
    const bool above = range.low_open ? value > range.low : value >= range.low;
    const bool below = range.high_open ? value < range.high : value <= range.high;
    if (above && below)
        return true;
    report(Diagnostic{"value-range",
                      {},
                      fmt::format("{} is out of range: it must be {}",
                                  node_->kind == Node::Kind::string ? in_quotes(node_->text)
                                                                    : shown_in_short(node_->text),
                                  bounds(range, unit)),
                      ""});
    return false;
}

Reader Reader::element(std::size_t index) const {
    const auto name = std::to_string(index);
    return {book_, &node_->elements[index], pointer_ + pointer_step(name), name};
}

Reader Reader::member(const Member& m) const {
    return {book_, &m.value, pointer_ + pointer_step(m.key), m.key};
}

} // namespace holdable
