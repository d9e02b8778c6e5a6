#include "sim/gis/osm_order.h"

#include <unistd.h>

#include <exception>
#include <filesystem>
#include <osmium/io/pbf_input.hpp>
#include <osmium/io/pbf_output.hpp>
#include <osmium/io/xml_input.hpp>
#include <osmium/object_pointer_collection.hpp>
#include <osmium/osm/object_comparisons.hpp>
#include <osmium/visitor.hpp>
#include <vector>

namespace sim {
namespace {

/// Whether the kinds of objects follow each other as node, way, relation. The header's word on it
/// is not enough: files exist that claim an order they do not have.
bool is_ordered(const std::string& path) {
  osmium::io::Reader reader(osmium::io::File(path), osmium::osm_entity_bits::object);
  osmium::item_type last = osmium::item_type::node;
  while (const osmium::memory::Buffer buffer = reader.read()) {
    for (const auto& object : buffer.select<osmium::OSMObject>()) {
      if (object.type() < last) return false;
      last = object.type();
    }
  }
  return true;
}

void write_ordered(const std::string& from, const std::string& to) {
  osmium::io::Reader reader(osmium::io::File(from), osmium::osm_entity_bits::object);
  osmium::io::Header header = reader.header();
  header.set("sorting", "Type_then_ID");
  std::vector<osmium::memory::Buffer> buffers;
  osmium::ObjectPointerCollection objects;
  while (osmium::memory::Buffer buffer = reader.read()) {
    osmium::apply(buffer, objects);
    buffers.push_back(std::move(buffer));
  }
  objects.sort(osmium::object_order_type_id_version{});
  osmium::io::Writer writer(osmium::io::File(to, "pbf"), header, osmium::io::overwrite::allow);
  for (const osmium::OSMObject& object : objects) writer(object);
  writer.close();
}

}  // namespace

OrderedOsm::OrderedOsm(const std::string& path) : path_(path) {
  if (!path.ends_with(".pbf") && !path.ends_with(".osm")) return;
  const auto copy = std::filesystem::temp_directory_path() /
                    ("kerbray_" + std::to_string(getpid()) + "_" +
                     std::to_string(reinterpret_cast<std::uintptr_t>(this)) + ".osm.pbf");
  try {
    if (is_ordered(path)) return;
    copy_ = copy.string();
    write_ordered(path, copy_);
  } catch (const std::exception&) {
    // Damaged or cut short: the reader proper says so, with its own words.
    std::error_code ignored;
    std::filesystem::remove(copy, ignored);
    copy_.clear();
  }
}

OrderedOsm::~OrderedOsm() {
  std::error_code ignored;
  if (!copy_.empty()) std::filesystem::remove(copy_, ignored);
}

}  // namespace sim
