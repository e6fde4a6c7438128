#include "builder/export/image_postal.hpp"

#include <algorithm>
#include <numeric>
#include <optional>
#include <string>

namespace thirstline {

namespace {

constexpr std::size_t kLongestCode = 15;
constexpr std::size_t kMaxShared = 7;
constexpr std::size_t kMaxEntries = 255;
constexpr std::uint8_t kInFull = 0x80;  ///< country and position are written in full

/// The bytes of an entry's code: the number of bytes shared with the previous one, and the rest.
ImageBytes code_bytes(const std::string& before, const std::string& code, std::uint8_t flags) {
    const auto differs = std::ranges::mismatch(before, code).in2;
    const std::size_t shared =
        std::min(static_cast<std::size_t>(differs - code.begin()), kMaxShared);
    const std::string_view rest = std::string_view(code).substr(shared);
    ImageBytes bytes(1 + rest.size());
    bytes[0] = static_cast<std::uint8_t>(flags | shared << 4 | rest.size());
    std::ranges::copy(rest, bytes.begin() + 1);
    return bytes;
}

/// Writes entries into blocks, and begins a new block when the last is full.
class Blocks {
  public:
    /// The bytes before the first entry of a block, besides the number of entries.
    explicit Blocks(std::vector<ImageBytes>& out) : out_(&out), first_(out.size()) {}

    /// Whether the last block has room for such an entry.
    [[nodiscard]] bool has_room(std::size_t entry_bytes) const {
        return out_->size() > first_ && out_->back()[0] < kMaxEntries &&
               out_->back().size() + entry_bytes <= kImageBlockContent;
    }
    void begin_block(const ImageBytes& head) {
        ImageBytes& block = out_->emplace_back();
        block.reserve(kImageBlockContent);
        block.push_back(0);  // number of entries
        for (const std::uint8_t byte : head) block.push_back(byte);
    }
    void add(const ImageBytes& entry) {
        ++out_->back()[0];
        out_->back().insert(out_->back().end(), entry.begin(), entry.end());
    }
    [[nodiscard]] std::size_t count() const { return out_->size() - first_; }

  private:
    std::vector<ImageBytes>* out_;
    std::size_t first_;
};

/// The step from one position to another in units, if it fits that number of bytes.
std::optional<std::int64_t> narrow_step(std::int32_t from, std::int32_t to, std::int64_t unit,
                                        int bytes) {
    const std::int64_t step = (std::int64_t{to} - from) / unit;
    const std::int64_t least = -(std::int64_t{1} << (8 * bytes - 1));
    if (step < least || step >= -least) return std::nullopt;
    return step;
}

ImageBytes leaf_entry(const PostalPlace* before, const PostalPlace& place, std::int64_t unit,
                      int position_bytes) {
    const std::string none;
    std::optional<std::int64_t> north, east;
    if (before != nullptr && before->country == place.country) {
        north = narrow_step(before->position.lat_e7, place.position.lat_e7, unit, position_bytes);
        east = narrow_step(before->position.lon_e7, place.position.lon_e7, unit, position_bytes);
    }
    const bool is_in_full = !north || !east;
    ImageBytes entry = code_bytes(before != nullptr ? before->code : none, place.code,
                                  is_in_full ? kInFull : std::uint8_t{0});
    if (is_in_full) {
        append_text(entry, place.country);
        append_number(entry, static_cast<std::uint32_t>(place.position.lat_e7), 4);
        append_number(entry, static_cast<std::uint32_t>(place.position.lon_e7), 4);
    } else {
        append_number(entry, static_cast<std::uint64_t>(*north), position_bytes);
        append_number(entry, static_cast<std::uint64_t>(*east), position_bytes);
    }
    return entry;
}

/// The leaves, and the first code of each.
struct Leaves {
    std::vector<ImageBytes> blocks;
    std::vector<std::string> first_codes;
};

Leaves leaves_of(const std::vector<PostalPlace>& places, std::int64_t unit, int position_bytes) {
    Leaves leaves;
    Blocks blocks(leaves.blocks);
    const PostalPlace* before = nullptr;
    for (const PostalPlace& place : places) {
        ImageBytes entry = leaf_entry(before, place, unit, position_bytes);
        if (!blocks.has_room(entry.size())) {
            blocks.begin_block({});
            leaves.first_codes.push_back(place.code);
            entry = leaf_entry(nullptr, place, unit, position_bytes);
        }
        blocks.add(entry);
        before = &place;
    }
    return leaves;
}

/// Adds a level above the blocks with the given first codes, the first of which is block `child`.
/// Returns the first codes of the new blocks.
std::vector<std::string> add_level(std::vector<ImageBytes>& out,
                                   const std::vector<std::string>& codes, std::size_t child) {
    Blocks blocks(out);
    std::vector<std::string> first_codes;
    std::string before;
    for (std::size_t at = 0; at < codes.size(); ++at) {
        ImageBytes entry = code_bytes(before, codes[at], 0);
        if (!blocks.has_room(entry.size())) {
            ImageBytes head;
            append_number(head, child + at, 4);
            blocks.begin_block(head);
            first_codes.push_back(codes[at]);
            entry = code_bytes({}, codes[at], 0);
        }
        blocks.add(entry);
        before = codes[at];
    }
    return first_codes;
}

std::int64_t common_unit_e7(const std::vector<PostalPlace>& places) {
    std::int64_t unit = 0;
    for (const PostalPlace& place : places) {
        unit = std::gcd(unit, std::int64_t{place.position.lat_e7});
        unit = std::gcd(unit, std::int64_t{place.position.lon_e7});
    }
    return std::max<std::int64_t>(unit, 1);
}

}  // namespace

Result<ImagePostalIndex> image_postal_index(const std::vector<PostalPlace>& places) {
    ImagePostalIndex index;
    if (places.empty()) return index;
    for (const PostalPlace& place : places) {
        if (place.code.size() <= kLongestCode) continue;
        return fail(ErrorCode::bad_input, "the postal code \"" + place.code + "\" of " +
                                              place.country +
                                              " is longer than the 15 letters an image can hold");
    }
    const std::int64_t unit = common_unit_e7(places);
    Leaves best;
    for (const int bytes : {2, 3, 4}) {
        Leaves tried = leaves_of(places, unit, bytes);
        if (index.position_bytes != 0 && tried.blocks.size() >= best.blocks.size()) continue;
        best = std::move(tried);
        index.position_bytes = static_cast<std::uint8_t>(bytes);
    }
    index.codes = static_cast<std::uint32_t>(places.size());
    index.leaves = static_cast<std::uint32_t>(best.blocks.size());
    index.position_unit_e7 = static_cast<std::uint32_t>(unit);
    index.blocks = std::move(best.blocks);
    std::vector<std::string> codes = std::move(best.first_codes);
    for (std::size_t child = 0; codes.size() > 1; ++index.levels) {
        const std::size_t first = index.blocks.size();
        codes = add_level(index.blocks, codes, child);
        child = first;
    }
    return index;
}

}  // namespace thirstline
