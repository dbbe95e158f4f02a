// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whole text files in and out, and the hash that identifies inputs.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace cowlwright::base {

/// @throws InputError  naming the path and the system's reason.
std::string read_text(const std::filesystem::path& path);

/// Writes under a temporary name, syncs, renames, syncs the folder: a reader sees the old file or the new
/// one, never half of it, also after a power cut.
/// @throws ExternalError  naming the path and the system's reason.
void write_text(const std::filesystem::path& path, std::string_view text);

/// Gives a finished file its name: syncs it, renames it, syncs the folder. Removes it when that fails.
/// @throws ExternalError  naming `path` and the system's reason.
void move_into_place(const std::filesystem::path& temporary, const std::filesystem::path& path);

/// The same without the sync, for what is written anew every second: after a power cut the file may be the
/// old one or empty.
/// @throws ExternalError  as write_text.
void replace_text(const std::filesystem::path& path, std::string_view text);

/// Lower-case hexadecimal SHA-256 of the bytes (FIPS 180-4; computed by OpenSSL's libcrypto).
std::string sha256(std::string_view bytes);

/// RFC 4648, section 4, without line breaks; by libcrypto too.
std::string base64(std::string_view bytes);

}  // namespace cowlwright::base
