// SPDX-License-Identifier: MIT
#include "holdable/files/text.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/words.hpp"
#include "holdable/files/document.hpp"

#include <array>
#include <cerrno>
#include <cstdio>
#include <memory>
#include <system_error>

namespace holdable {
namespace {

[[noreturn]] void unreadable(const std::string& path, int reason) {
    const auto name = path == "-" ? "standard input" : "the file " + in_quotes(path);
    throw InputError("file-unreadable",
                     "cannot read " + name + ": " + std::generic_category().message(reason));
}

} // namespace

std::string read_text(const std::string& path) {
    struct Close {
        void operator()(std::FILE* file) const {
            if (file != stdin)
                std::fclose(file);
        }
    };

    const std::unique_ptr<std::FILE, Close> file(path == "-" ? stdin
                                                             : std::fopen(path.c_str(), "rb"));
    if (!file)
        unreadable(path, errno);
    std::string text;
    std::array<char, 1 << 16> buffer;
    while (text.size() <= document_bytes) {
        const auto count = std::fread(buffer.data(), 1, buffer.size(), file.get());
        text.append(buffer.data(), count);
        if (count == buffer.size())
            continue;
        if (std::ferror(file.get()) != 0)
            unreadable(path, errno);
        break;
    }
    return text;
}

std::size_t utf8_sequence(std::string_view text) {
    const auto byte = [&](std::size_t i) {
        return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
    };
    const unsigned lead = byte(0);
    if (lead < 0x80)
        return lead > 0 ? 1 : 0;
    if (lead < 0xC2 || lead > 0xF4)
        return 0;
    const std::size_t length = lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    const unsigned low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;  // no overlong forms
    const unsigned high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF; // no surrogates
    if (byte(1) < low || byte(1) > high)
        return 0;
    for (std::size_t i = 2; i < length; ++i)
        if (byte(i) < 0x80 || byte(i) > 0xBF)
            return 0;
    return length;
}

} // namespace holdable
