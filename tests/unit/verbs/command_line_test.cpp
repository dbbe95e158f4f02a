// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the verbs accept and how they refuse the rest.
#include "cases/verbs/command_line.h"

#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::ThrowsMessage;
using verbs::parse_request;
using verbs::Request;

const verbs::VerbText run_like{.name = "run",
                               .argument = "STUDY",
                               .purpose = "Does it.",
                               .examples = "  cowlwright run x.toml\n",
                               .takes_output = true,
                               .takes_variants = true,
                               .takes_run_options = true,
                               .default_output = "somewhere"};
const verbs::VerbText check_like{
    .name = "check", .argument = "STUDY", .purpose = "Looks.", .examples = "  x\n"};

TEST(CommandLine, ReadsEveryOptionInAnyOrder) {
  const Request request = parse_request(
      run_like, {"--variant", "base", "-o", "out", "my.toml", "--ranks=4", "--fresh", "--variant", "b"});
  EXPECT_EQ(request.file, "my.toml");
  EXPECT_EQ(request.output, "out");
  EXPECT_THAT(request.variants, ElementsAre("base", "b"));
  EXPECT_EQ(request.ranks, 4);
  EXPECT_TRUE(request.fresh);
}

TEST(CommandLine, LeavesOutWhatWasNotGiven) {
  const Request request = parse_request(run_like, {"my.toml"});
  EXPECT_FALSE(request.output.has_value());
  EXPECT_FALSE(request.ranks.has_value());
  EXPECT_FALSE(request.fresh);
  EXPECT_TRUE(request.variants.empty());
}

void expect_refusal(const verbs::VerbText& verb,
                    const std::vector<std::string>& words,
                    const std::string& part) {
  EXPECT_THAT([&] { parse_request(verb, words); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("cowlwright " + verb.name), HasSubstr(part))));
}

TEST(CommandLine, RefusesAMissingStudy) {
  expect_refusal(run_like, {"--fresh"}, "STUDY is missing");
}

TEST(CommandLine, RefusesASecondStudy) {
  expect_refusal(run_like, {"a.toml", "b.toml"}, "too many positional");
}

TEST(CommandLine, RefusesAnUnknownOptionNamingIt) {
  expect_refusal(run_like, {"a.toml", "--rnaks", "2"}, "--rnaks");
}

TEST(CommandLine, RefusesAnOptionOfAnotherVerb) {
  expect_refusal(check_like, {"a.toml", "--ranks", "2"}, "--ranks");
}

TEST(CommandLine, RefusesARankCountOutsideItsBounds) {
  expect_refusal(run_like, {"a.toml", "--ranks", "0"}, "--ranks = 0: must be 1 to 256");
  expect_refusal(run_like, {"a.toml", "--ranks", "257"}, "--ranks = 257: must be 1 to 256");
  expect_refusal(run_like, {"a.toml", "--ranks", "two"}, "two");
}

TEST(CommandLine, ReadsMemoryInPowersOfThousandAndOf1024) {
  EXPECT_DOUBLE_EQ(verbs::parse_memory("--memory", "12 GB"), 12e9);
  EXPECT_DOUBLE_EQ(verbs::parse_memory("--memory", "500MB"), 500e6);
  EXPECT_DOUBLE_EQ(verbs::parse_memory("--memory", "1.5 TiB"), 1.5 * 1024 * 1024 * 1024 * 1024);
}

TEST(CommandLine, RefusesMemoryWithoutANumberAbove0OrAKnownUnit) {
  for (const char* text : {"12", "GB", "-1 GB", "0 GB", "nan GB", "12 apples", "12 GB 3", ""}) {
    EXPECT_THAT([&] { verbs::parse_memory("cowlwright run: --memory", text); },
                testing::ThrowsMessage<cowlwright::base::InputError>(
                    AllOf(HasSubstr("--memory = \"" + std::string(text) + "\""), HasSubstr("12 GB"))))
        << text;
  }
}

TEST(CommandLine, HelpNeedsNoStudyAndShowsOnlyTheVerbsOwnOptions) {
  EXPECT_TRUE(parse_request(run_like, {"--help"}).wants_help);
  EXPECT_THAT(verbs::help_text(run_like),
              AllOf(HasSubstr("cowlwright run STUDY"),
                    HasSubstr("--ranks"),
                    HasSubstr("somewhere"),
                    HasSubstr("Examples")));
  EXPECT_THAT(verbs::help_text(check_like), Not(HasSubstr("--ranks")));
}

TEST(CommandLine, LeavesTheWorkToAClusterOnlyWhenToldSo) {
  verbs::VerbText cluster_like = run_like;
  cluster_like.takes_cluster = true;
  EXPECT_FALSE(parse_request(cluster_like, {"my.toml"}).on_slurm);
  const verbs::Request request =
      parse_request(cluster_like, {"my.toml", "--on", "slurm", "--site", "site.toml", "--write-only"});
  EXPECT_TRUE(request.on_slurm);
  EXPECT_EQ(request.site, "site.toml");
  EXPECT_TRUE(request.write_only);
  EXPECT_THAT(
      [&] {
        parse_request(cluster_like, {"my.toml", "--on", "moon"});
      },
      ThrowsMessage<base::InputError>(HasSubstr("--on = moon: must be here or slurm")));
  EXPECT_THAT(
      [&] {
        parse_request(cluster_like, {"my.toml", "--site", "site.toml"});
      },
      ThrowsMessage<base::InputError>(HasSubstr("--site is of use with --on slurm only")));
}

TEST(Verbs, EachPrintsItsHelpWithAnExampleOfItself) {
  ASSERT_FALSE(verbs::all_verbs().empty());
  for (const verbs::Verb& verb : verbs::all_verbs()) {
    testing::internal::CaptureStdout();
    EXPECT_EQ(verb.act({"--help"}), 0);
    EXPECT_THAT(testing::internal::GetCapturedStdout(),
                HasSubstr("Examples\n  cowlwright " + verb.name + " "));
  }
}

}  // namespace
