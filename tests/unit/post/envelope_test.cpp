// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which envelope.json the page shows, and why not another.
#include "post/report/envelope.h"

#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/sample_envelope.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>

namespace {

using namespace cowlwright;
using namespace cowlwright::post;
using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;

std::string fault_with(const std::function<void(json&)>& change) {
  json envelope = synthetic::sample_envelope();
  change(envelope);
  return envelope_fault(envelope.dump());
}

TEST(EnvelopeFile, IsSoundAsItIsWritten) {
  EXPECT_EQ(envelope_fault(synthetic::sample_envelope().dump()), "");
}

TEST(EnvelopeFile, IsRefusedWithTheReason) {
  EXPECT_THAT(envelope_fault("{"), HasSubstr("Run cowlwright envelope again"));
  EXPECT_THAT(fault_with([](json& e) { e["format"] = "another"; }), HasSubstr("it is no envelope"));
  EXPECT_THAT(fault_with([](json& e) { e["version"] = 2; }), HasSubstr("its version is not 1"));
  EXPECT_THAT(fault_with([](json& e) { e.erase("worst"); }), HasSubstr("worst"));
  EXPECT_THAT(fault_with([](json& e) {
                e["airspeeds"] = {55.0, 45.0, 35.0};
              }),
              HasSubstr("airspeeds does not rise"));
  EXPECT_THAT(fault_with([](json& e) { e["altitudes"] = json::array(); }), HasSubstr("altitudes is empty"));
  EXPECT_THAT(fault_with([](json& e) { e["cautions"] = json::array(); }), HasSubstr("cautions is empty"));
  EXPECT_THAT(fault_with([](json& e) { e["points"].erase(0); }),
              HasSubstr("it has 17 points where 18 are due"));
  EXPECT_THAT(fault_with([](json& e) { e["points"][1]["altitude"] = 2; }),
              HasSubstr("point 1: altitude is out of order"));
  EXPECT_THAT(fault_with([](json& e) { e["points"][2]["status"] = "fine"; }),
              HasSubstr("status \"fine\" is not known"));
  EXPECT_THAT(fault_with([](json& e) { e["points"][3]["temperatures"][0]["margin"]["value"] = 999.0; }),
              HasSubstr("point 3: a value lies outside its band"));
  EXPECT_THAT(fault_with([](json& e) { e["points"][3]["temperatures"][0]["temperature"]["low"] = 999.0; }),
              HasSubstr("point 3: a band's low end is above its high end"));
  EXPECT_THAT(fault_with([](json& e) { e["points"][4]["tightest"] = "oil"; }),
              HasSubstr("the tightest margin is not among"));
}

TEST(EnvelopeFile, IsReadFromTheFolderWhenItIsThere) {
  const testing_support::ScratchFolder scratch;
  EXPECT_EQ(read_envelope(scratch.path()).text, "");
  EXPECT_EQ(read_envelope(scratch.path()).trouble, "");
  base::write_text(scratch.path() / "envelope.json", synthetic::sample_envelope().dump());
  EXPECT_EQ(json::parse(read_envelope(scratch.path()).text), synthetic::sample_envelope());
  base::write_text(scratch.path() / "envelope.json", "{}");
  const EnvelopeFile broken = read_envelope(scratch.path());
  EXPECT_EQ(broken.text, "");
  EXPECT_THAT(broken.trouble, AllOf(HasSubstr("envelope.json is not shown"), HasSubstr("format")));
}

}  // namespace
