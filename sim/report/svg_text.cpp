#include "sim/report/svg_text.h"

#include <boost/algorithm/string/replace.hpp>

namespace sim {
namespace {

/// From `<svg` on: no XML declaration.
std::string bare(const std::string& drawing) {
  const auto at = drawing.find("<svg");
  return at == std::string::npos ? drawing : drawing.substr(at);
}

/// style="fill:none;stroke-width:2;" → fill="none" stroke-width="2"
std::string without_styles(const std::string& svg) {
  constexpr std::string_view opening = "style=\"";
  std::string text;
  std::size_t from = 0;
  for (std::size_t at = svg.find(opening); at != std::string::npos; at = svg.find(opening, from)) {
    text.append(svg, from, at - from);
    std::size_t i = at + opening.size();
    const std::size_t end = svg.find('"', i);
    while (i < end) {
      const std::size_t colon = std::min(svg.find(':', i), end);
      const std::size_t stop = std::min(svg.find(';', colon), end);
      if (colon < stop) {
        text += (i == at + opening.size() ? "" : " ") + svg.substr(i, colon - i) + "=\"" +
                svg.substr(colon + 1, stop - colon - 1) + "\"";
      }
      i = stop + 1;
    }
    from = end + 1;
  }
  text.append(svg, from);
  return text;
}

std::string with_words(std::string svg, const std::string& attributes, const std::string& title,
                       const std::string& description, const std::string& behind) {
  const auto end_of_tag = svg.find('>');
  svg.insert(end_of_tag + 1, "\n<title>" + markup_text(title) + "</title>\n<desc>" +
                                 markup_text(description) + "</desc>" + behind);
  svg.insert(end_of_tag, " role=\"img\"" + attributes);
  return svg;
}

}  // namespace

std::string markup_text(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    switch (c) {
      case '&':
        safe += "&amp;";
        break;
      case '<':
        safe += "&lt;";
        break;
      case '>':
        safe += "&gt;";
        break;
      case '"':
        safe += "&quot;";
        break;
      default:
        // No other sign below a blank may stand in XML.
        safe += static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\t' ? ' ' : c;
    }
  }
  return safe;
}

std::string standing_svg(const std::string& drawing, const std::string& title,
                         const std::string& description) {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
         with_words(bare(drawing), "", title, description,
                    "\n<rect width=\"100%\" height=\"100%\" fill=\"white\"/>");
}

std::string inline_svg(const std::string& drawing, const std::string& prefix,
                       const std::string& title, const std::string& description) {
  using boost::algorithm::replace_all;
  std::string svg = without_styles(bare(drawing));
  replace_all(svg, "id=\"", "id=\"" + prefix);
  replace_all(svg, "href=\"#", "href=\"#" + prefix);
  replace_all(svg, "url(#", "url(#" + prefix);
  replace_all(svg, "rgb(0%,0%,0%)", "currentColor");
  return with_words(std::move(svg), " class=\"chart\"", title, description, "");
}

}  // namespace sim
