// SPDX-License-Identifier: GPL-3.0-or-later
//
// Tar files by libarchive.
#include "cases/keep/tar_file.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>
#include <unistd.h>

#include <vector>

namespace cowlwright::keep {
namespace {

constexpr int file_mode = 0644;
constexpr int program_mode = 0755;
constexpr std::size_t block = 1 << 18;  // bytes

struct FreeEntry {
  void operator()(archive_entry* entry) const { archive_entry_free(entry); }
};

std::string reason(archive* of) {
  const char* text = archive_error_string(of);
  return text != nullptr ? text : "no reason given";
}

}  // namespace

struct TarWriter::Archive {
  archive* handle = archive_write_new();
  ~Archive() { archive_write_free(handle); }
};

TarWriter::TarWriter(std::filesystem::path file)
    : file_(std::move(file)), temporary_(file_), archive_(std::make_unique<Archive>()) {
  temporary_ += fmt::format(".{}.part", ::getpid());
  require(archive_write_set_format_pax_restricted(archive_->handle));
  require(archive_write_add_filter_gzip(archive_->handle));
  require(archive_write_set_options(archive_->handle, "gzip:!timestamp"));
  require(archive_write_open_filename(archive_->handle, temporary_.c_str()));
}

TarWriter::~TarWriter() {
  if (!archive_) return;
  archive_write_fail(archive_->handle);  // not to be completed
  archive_.reset();
  ::unlink(temporary_.c_str());
}

void TarWriter::require(int outcome) {
  if (outcome >= ARCHIVE_OK) return;
  throw base::ExternalError(
      fmt::format("{}: cannot be written: {}. Check the folder, its permissions and the disk's space.",
                  file_.string(),
                  reason(archive_->handle)));
}

void TarWriter::begin(const TarEntry& entry) {
  const std::unique_ptr<archive_entry, FreeEntry> header(archive_entry_new());
  archive_entry_set_pathname(header.get(), entry.path.c_str());
  archive_entry_set_size(header.get(), static_cast<la_int64_t>(entry.size));
  archive_entry_set_filetype(header.get(), AE_IFREG);
  archive_entry_set_perm(header.get(), entry.is_executable ? program_mode : file_mode);
  archive_entry_set_mtime(header.get(), entry.modified, 0);
  require(archive_write_header(archive_->handle, header.get()));
}

void TarWriter::add(std::string_view bytes) {
  while (!bytes.empty()) {
    const la_ssize_t n = archive_write_data(archive_->handle, bytes.data(), bytes.size());
    if (n <= 0) require(ARCHIVE_FATAL);
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
}

void TarWriter::close() {
  require(archive_write_close(archive_->handle));
  archive_.reset();
  base::move_into_place(temporary_, file_);
}

struct TarReader::Archive {
  archive* handle = archive_read_new();
  std::vector<char> buffer = std::vector<char>(block);
  ~Archive() { archive_read_free(handle); }
};

TarReader::TarReader(const std::filesystem::path& file) : archive_(std::make_unique<Archive>()) {
  archive_read_support_filter_gzip(archive_->handle);
  archive_read_support_format_tar(archive_->handle);
  if (::access(file.c_str(), R_OK) != 0 || !std::filesystem::is_regular_file(file)) {
    throw base::InputError(fmt::format("{}: cannot be read, or is no file. Check the name.", file.string()));
  }
  if (archive_read_open_filename(archive_->handle, file.c_str(), block) != ARCHIVE_OK)
    trouble_ = reason(archive_->handle);
}

TarReader::~TarReader() = default;

std::optional<TarReader::Entry> TarReader::next() {
  if (!trouble_.empty()) return std::nullopt;
  archive_entry* header = nullptr;
  const int outcome = archive_read_next_header(archive_->handle, &header);
  if (outcome == ARCHIVE_EOF) return std::nullopt;
  if (outcome < ARCHIVE_OK) {
    trouble_ = reason(archive_->handle);
    return std::nullopt;
  }
  const char* path = archive_entry_pathname(header);
  Entry entry{path != nullptr ? path : "", Kind::Other};
  const bool is_link = archive_entry_hardlink(header) != nullptr;
  if (archive_entry_filetype(header) == AE_IFREG && !is_link) entry.kind = Kind::File;
  if (archive_entry_filetype(header) == AE_IFDIR) entry.kind = Kind::Folder;
  return entry;
}

std::string_view TarReader::more() {
  if (!trouble_.empty()) return {};
  const la_ssize_t n = archive_read_data(archive_->handle, archive_->buffer.data(), archive_->buffer.size());
  if (n < 0) {
    trouble_ = reason(archive_->handle);
    return {};
  }
  return {archive_->buffer.data(), static_cast<std::size_t>(n)};
}

}  // namespace cowlwright::keep
