// SPDX-License-Identifier: GPL-3.0-or-later
//
// Starts the browser without a window.
#include "post/report/paper.h"

#include "geometry/base/error.h"
#include "geometry/base/temporary_folder.h"
#include "post/report/children.h"

#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <system_error>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

constexpr std::chrono::seconds patience{120};

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

/// Prints from a folder of the browser's own; why there is no PDF.
std::string print_from(const base::TemporaryFolder& profile, const fs::path& page, const fs::path& pdf) {
  Child browser{{"chromium",
                 "--headless",
                 "--disable-gpu",
                 "--no-first-run",
                 "--disable-background-networking",
                 "--disable-component-update",
                 "--disable-sync",
                 "--disable-extensions",
                 "--user-data-dir=" + profile.path().string(),
                 "--virtual-time-budget=20000",
                 "--no-pdf-header-footer",
                 "--print-to-pdf=" + fs::absolute(pdf).string()},
                profile.path() / "log"};
  if (geteuid() == 0) {
    browser.words.emplace_back("--no-sandbox");  // the browser refuses to run as root with one
  }
  browser.words.push_back(address_of(page));
  std::error_code error;
  const std::string failure = run_children(std::array{browser}, 1, patience).front();
  return fs::exists(pdf, error) ? std::string() : failure.empty() ? "the browser wrote none" : failure;
}

}  // namespace

std::string print_pdf(const fs::path& page, const fs::path& pdf) {
  std::error_code error;
  fs::remove(pdf, error);
  if (!is_there("chromium")) {
    return "the browser chromium is not there; any browser prints the page";
  }
  try {
    return print_from(base::TemporaryFolder("browser"), page, pdf);
  } catch (const base::ExternalError& no_folder) {
    return no_folder.what();
  }
}

}  // namespace cowlwright::post
