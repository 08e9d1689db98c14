// SPDX-License-Identifier: MIT
// The lexer of nlohmann/json gives events without places. It reads through an iterator that counts,
// and at an event has read exactly to the end of the token (one character further after a number).
// A token's beginning is found from the end of the one before: only blanks, comments, commas and
// colons lie between.
#include "holdable/files/document.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/printable.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/limits.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <iterator>
#include <map>
#include <utility>

namespace holdable {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

// How the parser ends a message that says what was expected; before it stands in quotes what was
// read last.
constexpr std::string_view expectations[] = {"'; expected end of input",
                                             "'; expected string literal",
                                             "'; expected ':'",
                                             "'; expected ']'",
                                             "'; expected '}'",
                                             "'; expected '[', '{', or a literal"};

/// Reads a text and leaves the number of bytes read in `*position`, shared by all copies.
class CountingIterator {
  public:
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = char;

    CountingIterator(std::string_view text, std::size_t* position)
        : text_(text), position_(position) {}

    char operator*() const { return text_[*position_]; }

    CountingIterator& operator++() {
        ++*position_;
        return *this;
    }

    CountingIterator operator++(int) {
        auto old = *this;
        ++*position_;
        return old;
    }

    bool operator==(const CountingIterator& other) const { return left() == other.left(); }

    bool operator!=(const CountingIterator& other) const { return left() != other.left(); }

  private:
    std::size_t left() const { return position_ ? text_.size() - *position_ : 0; }

    std::string_view text_;
    std::size_t* position_; ///< null at the end
};

void replace(std::string& text, std::string_view from, std::string_view to) {
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
}

/// Turns growing byte positions into places.
class Cursor {
  public:
    explicit Cursor(std::string_view text) : text_(text) {
        if (text.starts_with(byte_order_mark))
            at_ = byte_order_mark.size();
    }

    Place at(std::size_t position) {
        for (; at_ < std::min(position, text_.size()); ++at_) {
            const auto byte = static_cast<unsigned char>(text_[at_]);
            if (byte == '\n')
                place_ = {place_.line + 1, 1};
            else if ((byte & 0xC0) != 0x80)
                ++place_.column;
        }
        return place_;
    }

  private:
    std::string_view text_;
    std::size_t at_ = 0;
    Place place_;
};

/// Receives the events, builds the tree.
class Builder : public nlohmann::json_sax<nlohmann::json> {
  public:
    Builder(std::string_view text, const std::string& file, const std::size_t& position)
        : text_(text), file_(file), position_(position), cursor_(text),
          end_(text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0) {}

    /// The tree, once all events have come.
    Node take() {
        if (!wrong_.empty())
            throw InputError(wrong_);
        return std::move(root_);
    }

    bool null() override {
        add(value(Node::Kind::null));
        return true;
    }

    bool boolean(bool truth) override {
        Node node = value(Node::Kind::boolean);
        node.boolean = truth;
        add(std::move(node));
        return true;
    }

    bool number_integer(number_integer_t number) override {
        return number_float(static_cast<double>(number), {});
    }

    bool number_unsigned(number_unsigned_t number) override {
        return number_float(static_cast<double>(number), {});
    }

    bool number_float(number_float_t number, const string_t&) override {
        const std::size_t begin = token();
        Node node = value(Node::Kind::number);
        end_ = number_end(begin);
        node.text = text_.substr(begin, end_ - begin);
        node.number = number;
        add(std::move(node));
        return true;
    }

    bool string(string_t& content) override {
        Node node = value(Node::Kind::string);
        node.escaped = content.size() + 2 != end_ - token_begin_;
        check_printable(content, node.place, node.escaped);
        node.text = std::move(content);
        add(std::move(node));
        return true;
    }

    bool binary(binary_t&) override { return false; }

    bool start_object(std::size_t) override { return open(Node::Kind::object); }

    bool end_object() override { return close(); }

    bool start_array(std::size_t) override { return open(Node::Kind::array); }

    bool end_array() override { return close(); }

    bool key(string_t& key) override {
        Frame& frame = open_.back();
        frame.key = std::move(key);
        const auto begin = token();
        frame.key_place = cursor_.at(begin);
        end_ = position_;
        check_printable(frame.key, frame.key_place, frame.key.size() + 2 != end_ - begin);
        const auto [first, fresh] = frame.seen.emplace(frame.key, frame.key_place.line);
        if (!fresh)
            add_wrong(Diagnostic{
                "json-duplicate-key",
                {file_, frame.key_place.line, frame.key_place.column, pointer()},
                fmt::format("the key {} is given twice", in_quotes(frame.key)),
                fmt::format("it stands in line {} already; remove one of them", first->second)});
        return true;
    }

    bool parse_error(std::size_t,
                     const std::string&,
                     const nlohmann::detail::exception& error) override {
        const std::string what = error.what();
        if (error.id == 406) { // out_of_range: number overflow
            const std::size_t begin = token();
            const auto number = text_.substr(begin, number_end(begin) - begin);
            throw InputError(std::vector{
                Diagnostic{"json-number",
                           location(begin),
                           fmt::format("the number {} is too large", shown_in_short(number)),
                           "numbers go to 1.8e308"}});
        }
        // "[...] parse error at line 1, column 2: syntax error while parsing X - REASON; last ..."
        std::string reason = what;
        if (const auto at = reason.find(" - "); at != std::string::npos)
            reason.erase(0, at + 3);
        if (const auto at = reason.find("; last read: "); at != std::string::npos) {
            // What was read last may be the rest of the file, and may hold these words itself.
            std::string after;
            for (const std::string_view name : expectations)
                if (reason.ends_with(name))
                    after = name.substr(1);
            reason = reason.substr(0, at) + after;
        }
        // A literal where none may stand is shown at its beginning; otherwise the last byte read is
        // the wrong one.
        std::size_t where = position_ == 0 ? 0 : position_ - 1;
        if (reason.find("unexpected end of input") != std::string::npos ||
            reason.find("missing closing") != std::string::npos)
            where = text_.size();
        else if (reason.starts_with("unexpected") && reason.find("literal") < reason.find(';'))
            where = token();
        replace(reason, "'[', '{', or a literal", "a value");
        replace(reason, "invalid literal", "neither a number nor true, false, null");
        replace(reason, " literal", "");
        throw InputError(std::vector{Diagnostic{"json-syntax", location(where), reason, ""}});
    }

  private:
    struct Frame {
        Node node;
        std::string key; ///< the key whose value comes next, in an object
        Place key_place;
        std::map<std::string, int> seen; ///< key, its line
    };

    /// Where the token begins that the last event tells of.
    std::size_t token() const {
        std::size_t at = end_;
        while (at < text_.size()) {
            if (std::string_view(" \t\r\n,:").find(text_[at]) != std::string_view::npos)
                ++at;
            else if (text_.substr(at, 2) == "/*")
                at = std::min(text_.find("*/", at + 2), text_.size() - 2) + 2;
            else if (text_.substr(at, 2) == "//")
                at = std::min(text_.find_first_of("\r\n", at), text_.size());
            else
                break;
        }
        return at;
    }

    /// The end of the number that begins there; the lexer ends one after a leading zero.
    std::size_t number_end(std::size_t begin) const {
        const std::size_t digits = begin + (text_[begin] == '-' ? 1 : 0);
        if (text_[digits] == '0' && digits + 1 < text_.size() && text_[digits + 1] >= '0' &&
            text_[digits + 1] <= '9')
            return digits + 1;
        return std::min(text_.find_first_not_of("+-.0123456789eE", begin), text_.size());
    }

    Location location(std::size_t position) {
        const Place place = cursor_.at(position);
        return {file_, place.line, place.column, ""};
    }

    /// JSON Pointer of the value that comes next.
    std::string pointer() const {
        std::string path;
        for (const Frame& frame : open_) {
            if (frame.node.kind == Node::Kind::array)
                path += '/' + std::to_string(frame.node.elements.size());
            else
                path += pointer_step(frame.key);
        }
        return path;
    }

    /// What is wrong, but can be read past; the rest is not read where there is too much of it.
    void add_wrong(Diagnostic diagnostic) {
        wrong_.push_back(std::move(diagnostic));
        if (wrong_.size() == most_mistakes) {
            Location here = wrong_.back().location;
            wrong_.push_back(more_mistakes(std::move(here)));
            throw InputError(wrong_);
        }
    }

    /// A string or a key must read as it is. @param place of its quote
    void check_printable(std::string_view content, const Place& place, bool escaped) {
        const auto wrong = unprintable(content);
        if (wrong == std::string_view::npos)
            return;
        Location where{file_, place.line, place.column, pointer()};
        if (!escaped) // columns in it are the file's
            where.column +=
                1 +
                static_cast<int>(std::count_if(content.begin(),
                                               content.begin() + static_cast<std::ptrdiff_t>(wrong),
                                               [](char c) { return (c & 0xC0) != 0x80; }));
        const auto rest = content.substr(wrong);
        const auto length = std::max<std::size_t>(utf8_sequence(rest), 1);
        add_wrong(Diagnostic{"json-control",
                             std::move(where),
                             fmt::format("the character {} may not stand in a text",
                                         code_point_name(rest.substr(0, length))),
                             "it is not seen, and steers how the rest is shown: take it out"});
    }

    [[noreturn]] void beyond(std::size_t position, std::string message) {
        Location where = location(position);
        where.pointer = pointer();
        throw InputError(
            std::vector{Diagnostic{"json-limit", std::move(where), std::move(message), ""}});
    }

    /// A value of that kind, begun at the token just read.
    Node value(Node::Kind kind) {
        const std::size_t begin = token();
        if (++values_ > document_values)
            beyond(begin, fmt::format("more than {} values", document_values));
        Node node;
        node.kind = kind;
        node.place = cursor_.at(begin);
        token_begin_ = begin;
        end_ = position_;
        return node;
    }

    bool open(Node::Kind kind) {
        if (open_.size() == document_depth)
            beyond(token(), fmt::format("nested more than {} deep", document_depth));
        Frame frame;
        frame.node = value(kind);
        open_.push_back(std::move(frame));
        return true;
    }

    bool close() {
        end_ = position_;
        Node node = std::move(open_.back().node);
        open_.pop_back();
        add(std::move(node));
        return true;
    }

    void add(Node node) {
        if (open_.empty())
            root_ = std::move(node);
        else if (Frame& frame = open_.back(); frame.node.kind == Node::Kind::array)
            frame.node.elements.push_back(std::move(node));
        else
            frame.node.members.push_back({frame.key, frame.key_place, std::move(node)});
    }

    std::string_view text_;
    const std::string& file_;
    const std::size_t& position_; ///< bytes the lexer has read
    Cursor cursor_;
    std::size_t end_;             ///< end of the token before
    std::size_t token_begin_ = 0; ///< begin of the last value
    std::size_t values_ = 0;
    std::vector<Frame> open_;
    std::vector<Diagnostic> wrong_;
    Node root_;
};

void check_utf8(std::string_view text, const std::string& file) {
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = utf8_sequence(text.substr(at));
        if (length == 0) {
            const Place place = Cursor(text).at(at);
            throw InputError(std::vector{
                Diagnostic{"json-utf8",
                           {file, place.line, place.column, ""},
                           fmt::format("the byte 0x{:02X} does not belong into a text in UTF-8",
                                       static_cast<unsigned char>(text[at])),
                           "save the file with the encoding UTF-8"}});
        }
        at += length;
    }
}

} // namespace

std::string pointer_step(std::string_view key) {
    std::string step = "/";
    for (const char c : key)
        step += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    return step;
}

Node parse_document(std::string_view text, const std::string& file) {
    if (text.size() > document_bytes)
        throw InputError(std::vector{Diagnostic{
            "json-limit",
            {file, 0, 0, ""},
            fmt::format(
                "{} bytes are more than the {} a file may have", text.size(), document_bytes),
            ""}});
    check_utf8(text, file);
    std::size_t position = 0;
    Builder builder(text, file, position);
    nlohmann::json::sax_parse(CountingIterator(text, &position),
                              CountingIterator(text, nullptr),
                              &builder,
                              nlohmann::json::input_format_t::json,
                              true,
                              true);
    return builder.take();
}

} // namespace holdable
