// SPDX-License-Identifier: GPL-3.0-or-later
//
// Starts the browser without a window.
#include "post/report/paper.h"

#include "post/report/children.h"

#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <system_error>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

constexpr std::chrono::seconds patience{120};

/// A folder of the browser's own for the time of one printing.
class Profile {
 public:
  Profile() : path_((fs::temp_directory_path() / "cowlpost-browser-XXXXXX").string()) {
    if (mkdtemp(path_.data()) == nullptr) path_.clear();
  }
  ~Profile() {
    std::error_code ignored;
    if (!path_.empty()) fs::remove_all(path_, ignored);
  }
  Profile(const Profile&) = delete;
  Profile& operator=(const Profile&) = delete;

  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// file: address; what RFC 3986 does not leave as it is stands in percent signs.
std::string address_of(const fs::path& file) {
  std::string address = "file://";
  for (const char c : fs::absolute(file).string()) {
    const bool is_plain = std::isalnum(static_cast<unsigned char>(c)) != 0 ||
                          std::string_view("/-._~").find(c) != std::string_view::npos;
    address += is_plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return address;
}

}  // namespace

std::string print_pdf(const fs::path& page, const fs::path& pdf) {
  std::error_code error;
  fs::remove(pdf, error);
  if (!is_there("chromium")) {
    return "the browser chromium is not there; any browser prints the page";
  }
  const Profile profile;
  if (profile.path().empty()) {
    return "there is no room for the browser's files in the temporary folder";
  }
  Child browser{{"chromium",
                 "--headless",
                 "--disable-gpu",
                 "--no-first-run",
                 "--disable-background-networking",
                 "--disable-component-update",
                 "--disable-sync",
                 "--disable-extensions",
                 "--user-data-dir=" + profile.path(),
                 "--virtual-time-budget=20000",
                 "--no-pdf-header-footer",
                 "--print-to-pdf=" + fs::absolute(pdf).string()},
                fs::path(profile.path()) / "log"};
  if (geteuid() == 0) {
    browser.words.emplace_back("--no-sandbox");  // the browser refuses to run as root with one
  }
  browser.words.push_back(address_of(page));
  const std::string failure = run_children(std::array{browser}, 1, patience).front();
  return fs::exists(pdf, error) ? std::string() : failure.empty() ? "the browser wrote none" : failure;
}

}  // namespace cowlwright::post
