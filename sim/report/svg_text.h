// A drawing's text, made ready to stand alone or in a page.
#pragma once

#include <string>

namespace sim {

/// For people and programs that read &, < and the like as signs.
std::string markup_text(const std::string& text);

/// A file of its own: on white, with a title and a description.
std::string standing_svg(const std::string& drawing, const std::string& title,
                         const std::string& description);

/// Inside a page: black becomes the page's own ink, styles become attributes (a page may forbid
/// styles), and every id begins with `prefix`, so that two drawings in one page do not share any.
std::string inline_svg(const std::string& drawing, const std::string& prefix,
                       const std::string& title, const std::string& description);

}  // namespace sim
