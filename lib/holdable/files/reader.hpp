// SPDX-License-Identifier: MIT
/// Reads the values of a document, and says at the end all that is wrong with it.
///
/// A reader stands at one value. Steps into an object or array give readers of what is inside;
/// the readers of a document share one list of diagnostics. What is wrong is put on that list, with
/// file, line, column and JSON Pointer, and a stand-in is returned (0, empty, false, the first
/// word), so that reading goes on without asking after each field. `finish` throws the list if
/// there is anything on it; until it has returned, no value read may be relied on:
///
///     Reader file(root, "mill.json");
///     machine.name = file.at("name").string();
///     machine.travel = file.at("travel").quantity(Measure::length, Range::positive());
///     for (const Reader& axis : file.at("axes").elements())
///         machine.axes.push_back(read_axis(axis));
///     file.finish();
///
/// Every key asked for is a key known there, so no list of them is written: `finish` refuses the
/// other keys of the objects looked into. A reader at a missing or wrong value is silent: it was
/// reported once, and everything in it reads as a stand-in.
#pragma once

#include "holdable/base/error.hpp"
#include "holdable/base/quantity.hpp"
#include "holdable/files/document.hpp"

#include <cstddef>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace holdable {

/// The values a number may have, in SI units; all finite ones by default.
struct Range {
    double low = std::numeric_limits<double>::lowest();
    double high = std::numeric_limits<double>::max();
    bool low_open = false;  ///< `low` itself is outside
    bool high_open = false; ///< `high` itself is outside

    static Range positive() { return {.low = 0, .low_open = true}; }

    static Range not_negative() { return {.low = 0}; }

    /// From `low` to `high`, both inside.
    static Range closed(double low, double high) { return {.low = low, .high = high}; }

    /// Between `low` and `high`, both outside.
    static Range open(double low, double high) { return {low, high, true, true}; }
};

/// Stands at a value of a document. Copies stand at the same value and share the diagnostics.
class Reader {
  public:
    /// Stands at the root. `root` must outlive all readers; `file` is the name in diagnostics.
    Reader(const Node& root, std::string file);

    /// The value itself, for what depends on its kind; null if it is missing or was refused.
    const Node* node() const { return node_; }

    /// The key or index the value stands under, empty for the root.
    const std::string& name() const { return name_; }

    // An object [field-kind]

    /// Whether the object has that key, which is known from now on.
    bool has(std::string_view key) const;

    /// The value of a key that must be there [key-missing]. `hint` is what else could stand there.
    Reader at(std::string_view key, std::string_view hint = {}) const;

    /// The value of a key that need not be there.
    std::optional<Reader> find(std::string_view key) const;

    /// All members, in the order written, of an object whose keys are names the user chose.
    std::vector<Reader> members() const;

    /// Lets any key pass, where what is wrong already leaves open which keys are known.
    void allow_other_keys() const;

    // An array [field-kind]

    /// All elements, in order.
    std::vector<Reader> elements() const;

    /// An array of numbers without unit; `range` holds for each.
    std::vector<double> numbers(const Range& range = {}) const;

    /// An array of quantities, in SI units; `range` holds for each.
    std::vector<double> quantities(Measure measure, const Range& range = {}) const;

    // One value [field-kind], [value-range]

    /// A string.
    std::string string() const;

    /// true or false.
    bool boolean() const;

    /// A number without unit.
    double number(const Range& range = {}) const;

    /// A whole number from `low` to `high`; both at most 2^53 in size, beyond which doubles skip.
    long long integer(long long low, long long high) const;

    /// A string with a number and its unit, in SI units; for Measure::number also a bare number.
    /// What parse_as refuses is reported with its id.
    double quantity(Measure measure, const Range& range = {}) const;

    /// A string with a number and any unit. What parse_quantity refuses is reported with its id.
    Quantity any_quantity() const;

    /// One of some words [word-unknown]. @return what stands beside it, at first if refused
    template <class T>
    T word(const std::vector<std::pair<std::string_view, T>>& words) const {
        std::vector<std::string_view> spellings;
        for (const auto& [spelling, meaning] : words)
            spellings.push_back(spelling);
        return words[word_index(spellings)].second;
    }

    // Diagnostics

    /// Where the value begins.
    Location location() const;

    /// Puts a diagnostic on the list. One without a file gets the place of this value; if it has a
    /// column, that counts from 1 within the string that stands here.
    void report(Diagnostic diagnostic) const;

    /// Does `work`, which reads the value by other means, and reports the InputError it throws.
    /// @return whether it threw none; not done, and false, where the value is missing
    bool attempt(const std::function<void()>& work) const;

    /// How much is on the list so far, missing keys among it. Where it did not grow while an object
    /// was read, its values may be compared with each other.
    std::size_t faults() const;

    /// Refuses the keys not asked for [key-unknown].
    /// @throws InputError with all that was reported, in the order of the file
    void finish() const;

  private:
    struct Book;

    Reader(std::shared_ptr<Book> book, const Node* node, std::string pointer, std::string name);

    bool is(Node::Kind kind, std::string_view wanted) const;
    bool inside(double value, const Range& range, const Unit* unit) const;
    Reader element(std::size_t index) const;
    Reader member(const Member& member) const;
    std::size_t word_index(const std::vector<std::string_view>& words) const;

    std::shared_ptr<Book> book_;
    const Node* node_;
    std::string pointer_;
    std::string name_;
};

} // namespace holdable
