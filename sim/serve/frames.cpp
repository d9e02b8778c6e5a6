#include "sim/serve/frames.h"

#include <array>
#include <nlohmann/json.hpp>

#include "sim/view/band_codes.h"

namespace sim {
namespace {

using nlohmann::json;

json grid_json(const GridSpec& spec, const SceneFrame& axes) {
  const PageGrid grid = page_grid(spec, axes);
  return {{"x0_m", grid.x0_m},
          {"y0_m", grid.y0_m},
          {"step_m", grid.step_m},
          {"columns", grid.columns},
          {"rows", grid.rows}};
}

}  // namespace

bool write_frame(const MapFrame& frame, const SceneFrame& axes, double elapsed_ms,
                 const std::string& edges, const ByteSink& sink) {
  const std::vector<CodedBand> bands = coded_bands(frame.grid);
  json header{{"stage", frame.stage},
              {"ledger_step_m", frame.ledger_step_m},
              {"final", frame.final},
              {"ms", elapsed_ms},
              {"grid", grid_json(frame.grid.spec, axes)},
              {"sector_names", frame.grid.sector_names},
              {"causes", cause_names()},
              {"bands", json::array()},
              {"edges", json::parse(edges)}};
  for (const CodedBand& band : bands) {
    header["bands"].push_back({{"name", band.name}, {"type", band.type}, {"count", band.count()}});
  }
  const std::string text = header.dump(-1, ' ', false, json::error_handler_t::replace);
  const auto length = static_cast<std::uint32_t>(text.size());
  std::array<char, 4> prefix{};
  for (std::size_t i = 0; i < prefix.size(); ++i) {
    prefix[i] = static_cast<char>(static_cast<unsigned char>(length >> (8U * i)));
  }
  if (!sink({prefix.data(), prefix.size()}) || !sink(text)) return false;
  constexpr std::string_view zeros("\0\0\0", 3);
  for (const CodedBand& band : bands) {
    if (!sink({reinterpret_cast<const char*>(band.bytes.data()), band.bytes.size()})) return false;
    const std::size_t missing = (4 - band.bytes.size() % 4) % 4;
    if (missing > 0 && !sink(zeros.substr(0, missing))) return false;
  }
  return true;
}

}  // namespace sim
