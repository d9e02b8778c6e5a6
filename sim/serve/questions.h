// What the live page asks, read from the bodies of its requests.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/serve/edits.h"

namespace sim {

/// /api/scene and /api/map.
struct SiteQuestion {
  std::vector<Edit> edits;
};

/// /api/link: the best link at a place of the scene, or that of one node, or of one sector.
struct LinkQuestion {
  std::vector<Edit> edits;
  double x_m = 0.0, y_m = 0.0, height_agl_m = 1.5;
  std::optional<std::size_t> node, sector;
};

/// /api/survey: a CSV to explain.
struct SurveyQuestion {
  std::vector<Edit> edits;
  std::string name, text;
};

/// /api/save.
struct SaveQuestion {
  std::vector<Edit> edits;
  std::string name;
};

// Each reads one body. Throws InputError with one line for text that is no JSON, a key that is
// missing, unknown or of the wrong type, a number that is not finite, and an edit that is not
// known. Whether the site has such nodes and things is for edited_site() to say.
SiteQuestion read_site_question(std::string_view body);
LinkQuestion read_link_question(std::string_view body);
SurveyQuestion read_survey_question(std::string_view body);
SaveQuestion read_save_question(std::string_view body);

/// More edits than this are no work of a person.
inline constexpr std::size_t most_edits = 10'000;

}  // namespace sim
