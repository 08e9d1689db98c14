// SPDX-License-Identifier: MIT
#include "output.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <system_error>
#include <unistd.h>

namespace holdable::cli {

void write_file(const std::string& path, const std::string& content) {
    const auto beside = fmt::format("{}.{}.part", path, getpid());
    const auto fail = [&] {
        const int why = errno;
        std::remove(beside.c_str());
        throw std::system_error(why, std::generic_category(), path);
    };
    std::FILE* file = std::fopen(beside.c_str(), "wb");
    if (file == nullptr)
        fail();
    const bool written = std::fwrite(content.data(), 1, content.size(), file) == content.size();
    const bool closed = std::fclose(file) == 0;
    if (!written || !closed || std::rename(beside.c_str(), path.c_str()) != 0)
        fail();
}

} // namespace holdable::cli
