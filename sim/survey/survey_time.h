// Times as logs write them.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace sim {

/// A time as a log writes it.
struct WrittenTime {
  double seconds = 0.0;  ///< since 1970, by the clock that wrote it
  bool utc = false;      ///< the text names its zone, and `seconds` are UTC already
};
/// Which of 3/4/2026 is the day.
enum class DateOrder { unknown, day_first, month_first };

/// Of the forms below, and of "4/3/2026 2:15 PM" or "4.3.2026 14:15" (points: always the day
/// first). nullopt for anything else, and for slashes whose order is not known.
std::optional<WrittenTime> written_time(const std::string& text,
                                        DateOrder order = DateOrder::unknown);
/// The text begins with a date, in whichever order.
bool has_date(const std::string& text);
/// The order that a day above 12 in one of the texts gives away.
DateOrder date_order(const std::vector<std::string>& texts);

/// Seconds since 1970-01-01 UTC of "2026-05-01T10:00:00Z", "2026-05-01 10:00:00.5", "2026/05/01
/// 10:00:00+00", with "+02:00" or without a zone (then `offset_s` east of UTC is taken), or of a
/// bare number of seconds or milliseconds. nullopt for anything else.
std::optional<double> time_from_text(const std::string& text, double offset_s);

/// "2026-05-01T10:00:00Z".
std::string time_text(double seconds);

/// Offset of "UTC", "+02:00", "-0530" or "+02" in seconds; nullopt for anything else.
std::optional<double> zone_offset_s(const std::string& zone);

}  // namespace sim
