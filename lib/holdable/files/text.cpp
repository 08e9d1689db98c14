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

} // namespace holdable
