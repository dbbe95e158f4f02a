// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading a site profile.
#include "cases/cluster/site.h"
#include "geometry/base/study_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <regex>

namespace cowlwright::cluster {
namespace {

constexpr std::array<std::string_view, 2> section_names{"slurm", "task"};
constexpr int most_ranks = 256;

/// Options that the jobs' files give themselves: another value would break the order of the jobs.
constexpr std::array<std::string_view, 8> own_options{
    "--array", "-a", "--dependency", "-d", "--output", "-o", "--chdir", "-D"};

/// Words and lines go into shell files, so each is one line.
void require_single_lines(base::SectionReader& section,
                          std::string_view key,
                          const std::vector<std::string>& lines) {
  for (const std::string& line : lines) {
    if (line.empty() || line.find('\n') != std::string::npos) {
      section.complain(
          key, fmt::format("= \"{}\": must be one line of text each. Write several as a list.", line));
    }
  }
}

/// A name without anything that the shell or Slurm would take apart.
std::string read_name(base::SectionReader& section, std::string_view key) {
  static const std::regex name("[A-Za-z0-9_.,@:/+-]*");
  const std::string text = section.text_or(key, "");
  if (!std::regex_match(text, name)) {
    section.complain(key,
                     fmt::format("= \"{}\": must be letters, digits and _.,@:/+- alone. Correct it.", text));
  }
  return text;
}

void check_time(base::SectionReader& section, const Site& site) {
  if (site.time_limit.empty()) return;
  const double seconds = limit_seconds(site.time_limit);
  if (!(seconds > 0.0)) {
    section.complain(
        "time_limit",
        fmt::format("= \"{}\": must be a time as Slurm writes it, above 0. Write \"12:00:00\" for "
                    "12 hours or \"2-00:00:00\" for two days.",
                    site.time_limit));
  } else if (!(site.stop_before + 60 < seconds)) {  // Slurm's signal may come 60 s earlier
    section.complain("time_limit",
                     fmt::format("= \"{}\": must be more than a minute longer than stop_before ({} s), or "
                                 "every job is stopped as it begins. Lengthen it or lower stop_before.",
                                 site.time_limit,
                                 site.stop_before));
  }
}

void check_directives(base::SectionReader& section, const std::vector<std::string>& directives) {
  require_single_lines(section, "directives", directives);
  for (const std::string& directive : directives) {
    const std::string option = directive.substr(0, directive.find_first_of("= "));
    if (!directive.starts_with("-")) {
      section.complain(
          "directives",
          fmt::format("= \"{}\": must be an option of sbatch. Write \"--qos=long\", for example.",
                      directive));
    } else if (std::find(own_options.begin(), own_options.end(), option) != own_options.end()) {
      section.complain(
          "directives",
          fmt::format("= \"{}\": {} is set for each job by its file. Take it out.", directive, option));
    }
  }
}

void read_slurm(base::SectionReader section, Site& site) {
  site.partition = read_name(section, "partition");
  site.account = read_name(section, "account");
  site.time_limit = section.text_or("time_limit", "");
  site.stop_before = static_cast<int>(section.integer_or("stop_before", 0, 65535, site.stop_before));
  site.directives = section.texts("directives");
  site.cores = static_cast<int>(section.integer_or("cores", 1, 1000000, site.cores));
  site.jobs_at_a_time =
      static_cast<int>(section.integer_or("jobs_at_a_time", 0, 1000000, site.jobs_at_a_time));
  site.array_size = static_cast<int>(section.integer_or("array_size", 1, 4000000, site.array_size));
  site.most_restarts = static_cast<int>(section.integer_or("most_restarts", 0, 10000, site.most_restarts));
  site.memory_margin =
      section.number_or("memory_margin",
                        {0.0, 100.0, false, false, "times the expected memory; 0 asks for none"},
                        site.memory_margin);
  check_time(section, site);
  check_directives(section, site.directives);
  section.finish();
}

void read_task(base::SectionReader section, Site& site) {
  site.ranks = static_cast<int>(section.integer_or("ranks", 0, most_ranks, site.ranks));
  site.modules = section.texts("modules");
  site.setup = section.texts("setup");
  site.launcher = section.texts("launcher");
  require_single_lines(section, "modules", site.modules);
  require_single_lines(section, "setup", site.setup);
  require_single_lines(section, "launcher", site.launcher);
  const bool names_ranks =
      std::any_of(site.launcher.begin(), site.launcher.end(), [](const std::string& word) {
        return word.find("{ranks}") != std::string::npos;
      });
  if (!site.launcher.empty() && !names_ranks) {
    section.complain("launcher",
                     "has no {ranks}: must say where the number of ranks goes. Write [\"srun\", \"-n\", "
                     "\"{ranks}\"], for example.");
  }
  section.finish();
}

Site read(const base::StudyFile& file) {
  base::Complaints complaints;
  const base::Variant none;
  file.check_section_names(section_names, complaints);
  base::SectionReader vary = file.section("vary", none, complaints);
  if (vary.section_present()) vary.complain("", "belongs to a study, not to a site profile. Take it out.");
  Site site;
  read_slurm(file.section("slurm", none, complaints), site);
  read_task(file.section("task", none, complaints), site);
  complaints.throw_if_any();
  return site;
}

}  // namespace

Site read_site(const std::filesystem::path& file) {
  return read(base::StudyFile::read(file));
}

Site parse_site(std::string_view text, const std::string& name) {
  return read(base::StudyFile::parse(text, name));
}

double limit_seconds(std::string_view text) {
  static const std::regex form(
      "(?:(\\d{1,6})-(\\d{1,6})(?::(\\d{1,6})(?::(\\d{1,6}))?)?)|"
      "(?:(\\d{1,6})(?::(\\d{1,6})(?::(\\d{1,6}))?)?)");
  std::match_results<std::string_view::const_iterator> part;
  if (!std::regex_match(text.begin(), text.end(), part, form)) return -1.0;
  const auto number = [&](std::size_t group) {
    return part[group].matched ? std::stod(part[group].str()) : 0.0;
  };
  if (part[1].matched) return ((number(1) * 24.0 + number(2)) * 60.0 + number(3)) * 60.0 + number(4);
  if (part[7].matched) return (number(5) * 60.0 + number(6)) * 60.0 + number(7);
  return number(5) * 60.0 + number(6);
}

}  // namespace cowlwright::cluster
