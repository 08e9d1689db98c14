// SPDX-License-Identifier: MIT
#include "holdable/files/text.hpp"

#include "holdable/base/error.hpp"
#include "holdable/base/words.hpp"

#include <fmt/format.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <memory>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>
#include <vector>

namespace holdable {
namespace {

[[noreturn]] void unreadable(const std::string& path, int reason) {
    const auto name = path == "-" ? "standard input" : "the file " + in_quotes(path);
    throw InputError("file-unreadable",
                     "cannot read " + name + ": " + std::generic_category().message(reason));
}

[[noreturn]] void unwritable(const std::string& path, int reason) {
    throw InputError("file-unwritable",
                     "cannot write the file " + in_quotes(path) + ": " +
                         std::generic_category().message(reason));
}

/// Writes it all and closes. @param file open for it, -1 where that failed, with errno
void write_all(const std::string& path, int file, std::string_view text, mode_t mode = 0) {
    if (file < 0)
        unwritable(path, errno);
    int reason = 0;
    while (reason == 0 && !text.empty()) {
        const auto count = write(file, text.data(), text.size());
        if (count > 0)
            text.remove_prefix(static_cast<std::size_t>(count));
        else if (count < 0 && errno != EINTR)
            reason = errno;
    }
    if (reason == 0 && mode != 0) {
        // Some file systems know no modes; then the one that mkostemp gave, stricter, stays.
        [[maybe_unused]] const int set = fchmod(file, mode);
        if (fsync(file) != 0)
            reason = errno;
    }
    if (close(file) != 0 && reason == 0)
        reason = errno;
    if (reason != 0)
        unwritable(path, reason);
}

/// The file itself, where the name is that of a link, or of a link to one: the link shall stay.
/// @throws InputError [file-unwritable] where there are links without end
std::string end_of_links(const std::string& path) {
    auto place = std::filesystem::path(path);
    std::error_code code;
    for (int links = 0; std::filesystem::is_symlink(place, code); ++links) {
        if (links == 40) // as many as Linux follows
            unwritable(path, ELOOP);
        place = place.parent_path() / std::filesystem::read_symlink(place, code);
    }
    return place.string();
}

/// Writes a file under a name of its own in the same folder, whole or not at all.
/// @param path   as the user gave it, for messages
/// @param place  beside which it is written
/// @param mode   of the file it takes the place of; 0: of a new one @return its name
std::string
beside(const std::string& path, const std::string& place, std::string_view text, mode_t mode) {
    // Not the name with something behind it, which could be too long.
    auto own = place.substr(0, place.rfind('/') + 1) + "holdable-XXXXXX.part";
    const int file = mkostemps(own.data(), 5, O_CLOEXEC);
    const mode_t mask = umask(0); // mkostemps lets only its owner read
    umask(mask);
    try {
        write_all(path, file, text, mode != 0 ? mode : 0666 & ~mask);
    } catch (...) {
        if (file >= 0)
            unlink(own.c_str());
        throw;
    }
    return own;
}

} // namespace

std::string read_text(const std::string& path, std::size_t most_bytes) {
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
    while (text.size() <= most_bytes) {
        const auto count = std::fread(buffer.data(), 1, buffer.size(), file.get());
        text.append(buffer.data(), count);
        if (count == buffer.size())
            continue;
        if (std::ferror(file.get()) != 0)
            unreadable(path, errno);
        break;
    }
    if (text.size() > most_bytes)
        throw InputError(std::vector{Diagnostic{"json-limit",
                                                {path, 0, 0, ""},
                                                fmt::format("more than {} bytes", most_bytes),
                                                most_bytes < document_bytes
                                                    ? "--most-bytes sets how large a file may be"
                                                    : "no file of a shop is as large"}});
    return text;
}

void refuse_existing(const std::string& path) {
    std::error_code code;
    if (std::filesystem::exists(std::filesystem::symlink_status(path, code)))
        throw InputError("file-exists",
                         "the file " + in_quotes(path) + " is there already and is left as it is",
                         "take another name, or move it away");
}

void write_text(const std::string& path, std::string_view text) {
    struct stat there {};

    const bool is_there = stat(path.c_str(), &there) == 0;
    if (!is_there && errno != ENOENT)
        unwritable(path, errno);
    if (is_there && S_ISDIR(there.st_mode))
        unwritable(path, EISDIR);
    if (is_there && !S_ISREG(there.st_mode)) { // a pipe or a device is written to as it stands
        write_all(path, open(path.c_str(), O_WRONLY | O_CLOEXEC), text);
        return;
    }
    if (is_there && access(path.c_str(), W_OK) != 0) // a rename would not ask
        unwritable(path, errno);
    const auto place = end_of_links(path);
    const auto own = beside(path, place, text, is_there ? there.st_mode & 0777 : 0);
    if (std::rename(own.c_str(), place.c_str()) != 0) {
        const int reason = errno;
        unlink(own.c_str());
        unwritable(path, reason);
    }
}

void write_new_text(const std::string& path, std::string_view text) {
    refuse_existing(path);
    const auto own = beside(path, path, text, 0);
    // A link fails where a file came to be meanwhile; a file system without links gets a rename.
    if (link(own.c_str(), path.c_str()) == 0) {
        unlink(own.c_str());
    } else if (errno == EEXIST) {
        unlink(own.c_str());
        refuse_existing(path);
    } else if (std::rename(own.c_str(), path.c_str()) != 0) {
        const int reason = errno;
        unlink(own.c_str());
        unwritable(path, reason);
    }
}

} // namespace holdable
