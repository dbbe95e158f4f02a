// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a site profile says, and what it must not say.
#include "cases/cluster/site.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using cluster::limit_seconds;
using cluster::parse_site;
using cluster::Site;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;

auto complains(const std::string& a, const std::string& b) {
  return ThrowsMessage<base::InputError>(AllOf(HasSubstr(a), HasSubstr(b)));
}

TEST(SiteProfile, OfNothingAsksSlurmForNothingInParticular) {
  const Site site = parse_site("", "site.toml");
  EXPECT_EQ(site.partition, "");
  EXPECT_EQ(site.time_limit, "");
  EXPECT_EQ(site.ranks, 0);
  EXPECT_THAT(site.directives, IsEmpty());
  EXPECT_THAT(site.launcher, IsEmpty());
}

TEST(SiteProfile, ReadsEveryKey) {
  const Site site = parse_site(R"(
[slurm]
partition = "compute"
account = "cooling"
time_limit = "2-12:00:00"
stop_before = 300
directives = ["--qos=long", "--exclude=n[7-9]"]
cores = 320
jobs_at_a_time = 40
array_size = 500
most_restarts = 3
memory_margin = 1.5
[task]
ranks = 8
modules = ["openmpi/4.1", "openfoam/1912"]
setup = ["export TMPDIR=/scratch"]
launcher = ["srun", "-n", "{ranks}"]
)",
                               "site.toml");
  EXPECT_EQ(site.partition, "compute");
  EXPECT_EQ(site.account, "cooling");
  EXPECT_EQ(site.time_limit, "2-12:00:00");
  EXPECT_EQ(site.stop_before, 300);
  EXPECT_THAT(site.directives, ElementsAre("--qos=long", "--exclude=n[7-9]"));
  EXPECT_EQ(site.cores, 320);
  EXPECT_EQ(site.jobs_at_a_time, 40);
  EXPECT_EQ(site.array_size, 500);
  EXPECT_EQ(site.most_restarts, 3);
  EXPECT_EQ(site.memory_margin, 1.5);
  EXPECT_EQ(site.ranks, 8);
  EXPECT_THAT(site.modules, ElementsAre("openmpi/4.1", "openfoam/1912"));
  EXPECT_THAT(site.setup, ElementsAre("export TMPDIR=/scratch"));
  EXPECT_THAT(site.launcher, ElementsAre("srun", "-n", "{ranks}"));
}

TEST(SiteProfile, NamesPlaceAndNearestKeyOfWhatItDoesNotKnow) {
  EXPECT_THAT([] { parse_site("[slurm]\npartitoin = \"a\"\n", "site.toml"); },
              complains("site.toml:2:1", "partition"));
  EXPECT_THAT([] { parse_site("[slrum]\n", "site.toml"); }, complains("site.toml:1:", "slurm"));
  EXPECT_THAT([] { parse_site("[vary]\n\"task.ranks\" = [1, 2]\n", "site.toml"); },
              complains("site.toml:1:", "not to a site profile"));
}

TEST(SiteProfile, TellsEveryFaultInOneGo) {
  EXPECT_THAT([] { parse_site("[slurm]\narray_size = 0\n[task]\nranks = 900\n", "site.toml"); },
              complains("site.toml:2:14: [slurm] array_size", "site.toml:4:9: [task] ranks"));
}

TEST(SiteProfile, RefusesATimeThatSlurmDoesNotWrite) {
  EXPECT_THAT([] { parse_site("[slurm]\ntime_limit = \"12 h\"\n", "site.toml"); },
              complains("site.toml:2:14: [slurm] time_limit = \"12 h\"", "12:00:00"));
  EXPECT_THAT([] { parse_site("[slurm]\ntime_limit = \"0\"\n", "site.toml"); },
              complains("time_limit", "above 0"));
}

TEST(SiteProfile, RefusesALimitThatStopsEachJobAsItBegins) {
  EXPECT_THAT([] { parse_site("[slurm]\ntime_limit = \"3\"\nstop_before = 120\n", "site.toml"); },
              complains("time_limit = \"3\"", "stop_before (120 s)"));
  EXPECT_NO_THROW(parse_site("[slurm]\ntime_limit = \"3:01\"\nstop_before = 120\n", "site.toml"));
}

TEST(SiteProfile, RefusesWhatTheJobsFilesSetThemselves) {
  EXPECT_THAT([] { parse_site("[slurm]\ndirectives = [\"--array=0-3\"]\n", "site.toml"); },
              complains("--array=0-3", "--array is set for each job by its file"));
  EXPECT_THAT([] { parse_site("[slurm]\ndirectives = [\"qos=long\"]\n", "site.toml"); },
              complains("qos=long", "must be an option of sbatch"));
}

TEST(SiteProfile, RefusesTextThatWouldBreakTheShellsLines) {
  EXPECT_THAT([] { parse_site("[slurm]\npartition = \"a; rm b\"\n", "site.toml"); },
              complains("partition = \"a; rm b\"", "letters, digits"));
  EXPECT_THAT([] { parse_site("[task]\nsetup = [\"a\\nb\"]\n", "site.toml"); },
              complains("setup", "one line"));
}

TEST(SiteProfile, RefusesALauncherThatForgetsTheRanks) {
  EXPECT_THAT([] { parse_site("[task]\nlauncher = [\"srun\", \"-n\", \"4\"]\n", "site.toml"); },
              complains("launcher", "{ranks}"));
}

// Source: sbatch(1), option --time.
TEST(TimeLimit, TakesTheSixFormsOfSlurm) {
  EXPECT_EQ(limit_seconds("90"), 5400.0);
  EXPECT_EQ(limit_seconds("1:30"), 90.0);
  EXPECT_EQ(limit_seconds("2:01:30"), 7290.0);
  EXPECT_EQ(limit_seconds("1-2"), 93600.0);
  EXPECT_EQ(limit_seconds("1-2:30"), 95400.0);
  EXPECT_EQ(limit_seconds("1-2:30:10"), 95410.0);
  for (const char* bad : {"", "x", "1:2:3:4", "1-", "-1", "1.5", "1-2:3:4:5"})
    EXPECT_LT(limit_seconds(bad), 0.0) << bad;
}

}  // namespace
