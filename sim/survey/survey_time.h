// Times as logs write them.
#pragma once

#include <optional>
#include <string>

namespace sim {

/// A time as a log writes it.
struct WrittenTime {
  double seconds = 0.0;  ///< since 1970, by the clock that wrote it
  bool utc = false;      ///< the text names its zone, and `seconds` are UTC already
};
/// Of the forms below; nullopt for anything else.
std::optional<WrittenTime> written_time(const std::string& text);

/// Seconds since 1970-01-01 UTC of "2026-05-01T10:00:00Z", "2026-05-01 10:00:00.5", "2026/05/01
/// 10:00:00+00", with "+02:00" or without a zone (then `offset_s` east of UTC is taken), or of a
/// bare number of seconds or milliseconds. nullopt for anything else.
std::optional<double> time_from_text(const std::string& text, double offset_s);

/// "2026-05-01T10:00:00Z".
std::string time_text(double seconds);

/// Offset of "UTC", "+02:00", "-0530" or "+02" in seconds; nullopt for anything else.
std::optional<double> zone_offset_s(const std::string& zone);

}  // namespace sim
