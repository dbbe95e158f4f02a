// SPDX-License-Identifier: GPL-3.0-or-later
//
// The assembler takes the files' bytes in as they are; a literal of a megabyte would take the compiler
// minutes.
#include "post/report/embedded.h"

// A name, its bytes and the name of what follows them. COWLWRIGHT_..._FILE are set by the build.
#define COWLWRIGHT_EMBED(name, file)         \
  asm(".section .rodata\n"                   \
      ".global cowlwright_" #name            \
      "\n"                                   \
      "cowlwright_" #name                    \
      ":\n"                                  \
      ".incbin \"" file                      \
      "\"\n"                                 \
      ".global cowlwright_" #name            \
      "_end\n"                               \
      "cowlwright_" #name                    \
      "_end:\n"                              \
      ".byte 0\n"                            \
      ".previous\n");                        \
  extern "C" const char cowlwright_##name[]; \
  extern "C" const char cowlwright_##name##_end[]

COWLWRIGHT_EMBED(page_template, COWLWRIGHT_PAGE_TEMPLATE_FILE);
COWLWRIGHT_EMBED(results_schema, COWLWRIGHT_RESULTS_SCHEMA_FILE);
COWLWRIGHT_EMBED(solved_flow_schema, COWLWRIGHT_SOLVED_FLOW_SCHEMA_FILE);

namespace cowlwright::post {

std::string_view page_template() {
  return {cowlwright_page_template, cowlwright_page_template_end};
}

std::string_view results_schema() {
  return {cowlwright_results_schema, cowlwright_results_schema_end};
}

std::string_view solved_flow_schema() {
  return {cowlwright_solved_flow_schema, cowlwright_solved_flow_schema_end};
}

}  // namespace cowlwright::post
