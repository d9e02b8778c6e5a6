#include "sim/survey/time_zone.h"

#include <unicode/basictz.h>
#include <unicode/strenum.h>
#include <unicode/timezone.h>

#include <utility>
#include <vector>

#include "sim/import/nearest_word.h"
#include "sim/survey/survey_time.h"

namespace sim {

struct TimeZone::Rules {
  std::unique_ptr<icu::BasicTimeZone> zone;
};

std::optional<TimeZone> TimeZone::find(const std::string& name) {
  TimeZone found;
  if (const auto fixed = zone_offset_s(name)) {
    found.fixed_s_ = *fixed;
    return found;
  }
  if (name.find('/') == std::string::npos) return std::nullopt;
  std::unique_ptr<icu::TimeZone> zone(
      icu::TimeZone::createTimeZone(icu::UnicodeString::fromUTF8(name)));
  if (!zone || *zone == icu::TimeZone::getUnknown()) return std::nullopt;
  if (dynamic_cast<icu::BasicTimeZone*>(zone.get()) == nullptr) return std::nullopt;
  std::unique_ptr<icu::BasicTimeZone> basic(static_cast<icu::BasicTimeZone*>(zone.release()));
  found.rules_ = std::make_shared<const Rules>(Rules{std::move(basic)});
  return found;
}

std::string TimeZone::nearest(const std::string& name) {
  UErrorCode status = U_ZERO_ERROR;
  const std::unique_ptr<icu::StringEnumeration> all(
      icu::TimeZone::createTimeZoneIDEnumeration(UCAL_ZONE_TYPE_ANY, nullptr, nullptr, status));
  std::vector<std::string> names;
  while (U_SUCCESS(status) && all) {
    const char* one = all->next(nullptr, status);
    if (one == nullptr) break;
    names.emplace_back(one);
  }
  return nearest_word(name, names);
}

TimeZone::Offset TimeZone::at(double clock_s) const {
  if (!rules_) return {.seconds = fixed_s_};
  const auto offset_s = [&](UTimeZoneLocalOption which) {
    int32_t standard_ms = 0, summer_ms = 0;
    UErrorCode status = U_ZERO_ERROR;
    rules_->zone->getOffsetFromLocal(1000.0 * clock_s, which, which, standard_ms, summer_ms,
                                     status);
    return U_SUCCESS(status) ? (standard_ms + summer_ms) / 1000.0 : 0.0;
  };
  const double before = offset_s(UCAL_TZ_LOCAL_FORMER), after = offset_s(UCAL_TZ_LOCAL_LATTER);
  return {.seconds = before, .shown_twice = before > after, .skipped = before < after};
}

}  // namespace sim
