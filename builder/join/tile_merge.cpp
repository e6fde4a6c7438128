#include "builder/join/tile_merge.hpp"

#include <algorithm>
#include <limits>
#include <optional>
#include <vector>

#include "builder/join/tile_unite.hpp"
#include "schema/database/whole_tables.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

/// A file's scan with its current tile.
struct Cursor {
    const JoinInput* input;
    TileScan scan;
    std::optional<TileRow> row;

    Result<void> step() {
        row = TRY(scan.next());
        return {};
    }
};

/// The tiles of one lattice of the joined file.
class LatticeMerge {
  public:
    LatticeMerge(const JoinPlan& plan, const JoinedLattice& lattice, OverlayBlend* blend,
                 Conflicts& conflicts, const TakeTile& take)
        : plan_(plan),
          lattice_(lattice),
          blend_(blend),
          own_layout_(lattice.baseline->layout()),
          conflicts_(conflicts),
          take_(take) {
        is_same_layout_ = own_layout_.layers == plan.layout.layers;
        for (const auto& [own, joined] : lattice.period_ids)
            keeps_periods_ = keeps_periods_ && own == joined;
    }

    Result<std::int64_t> points(const std::atomic<bool>& interrupted) {
        TRY(open());
        while (true) {
            if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
            std::int64_t key = std::numeric_limits<std::int64_t>::max();
            for (const Cursor& cursor : cursors_)
                if (cursor.row) key = std::min(key, cursor.row->key);
            std::vector<Cursor*> holders;
            for (Cursor& cursor : cursors_)
                if (cursor.row && cursor.row->key == key) holders.push_back(&cursor);
            if (holders.empty()) return points_;
            TRY(merge(key, holders));
            for (Cursor* cursor : holders) TRY(cursor->step());
        }
    }

  private:
    Result<void> open() {
        const std::int64_t first = tile_key(lattice_.own_id, {0, 0});
        const std::int64_t last = tile_key(lattice_.own_id + 1, {0, 0}) - 1;
        for (const JoinInput* input : lattice_.baseline->inputs) {
            auto scan = TRY(TileScan::over(*input->database, first, last));
            cursors_.push_back({input, std::move(scan), std::nullopt});
            TRY(cursors_.back().step());
        }
        return {};
    }

    Result<Tile> decoded(const Cursor& cursor) const {
        auto tile = decode_tile(cursor.row->codec, own_layout_, cursor.row->data);
        if (tile) return tile;
        return fail(ErrorCode::bad_database, "tile " + std::to_string(cursor.row->key) + " of " +
                                                 cursor.input->path() +
                                                 " is damaged: " + tile.error().message);
    }

    Result<void> merge(std::int64_t key, const std::vector<Cursor*>& holders) {
        const TileRow& first = *holders.front()->row;
        auto tile = TRY(decoded(*holders.front()));
        bool is_as_it_was = is_same_layout_ && keeps_periods_;
        for (std::size_t h = 1; h < holders.size(); ++h) {
            const TileRow& other = *holders[h]->row;
            if (other.codec == first.codec && std::ranges::equal(other.data, first.data)) continue;
            const auto more = TRY(decoded(*holders[h]));
            is_as_it_was = false;
            if (unite(tile, more, own_layout_)) continue;
            const LatLon place =
                position_of(lattice_.lattice, point_in_tile(lattice_.lattice, tile_of_key(key), 0));
            char where[64];
            std::snprintf(where, sizeof where, " (about %.2f,%.2f)", place.lat_deg, place.lon_deg);
            conflicts_.add("tile " + std::to_string(key) + where + " differs between " +
                           holders.front()->input->path() + " and " + holders[h]->input->path());
            return {};
        }
        points_ += std::ranges::count(tile.present, 1);
        const std::int64_t joined_key = tile_key(lattice_.lattice.id, tile_of_key(key));
        tile = in_joined_terms(std::move(tile), plan_, lattice_);
        if (blend_ != nullptr && TRY(blend_->blend(lattice_.lattice, tile_of_key(key), tile)))
            is_as_it_was = false;
        if (is_as_it_was) return take_(joined_key, first.codec, first.data);
        const auto data = TRY(encode_tile(first.codec, plan_.layout, tile));
        return take_(joined_key, first.codec, data);
    }

    const JoinPlan& plan_;
    const JoinedLattice& lattice_;
    OverlayBlend* blend_;
    const TileLayout& own_layout_;
    Conflicts& conflicts_;
    const TakeTile& take_;
    bool is_same_layout_ = false;
    bool keeps_periods_ = true;
    std::vector<Cursor> cursors_;
    std::int64_t points_ = 0;
};

}  // namespace

Result<std::int64_t> merge_tiles(const JoinPlan& plan, OverlayBlend* blend, Conflicts& conflicts,
                                 const TakeTile& take, const std::atomic<bool>& interrupted) {
    std::int64_t points = 0;
    for (const JoinedLattice& lattice : plan.lattices) {
        const auto merged =
            TRY(LatticeMerge(plan, lattice, blend, conflicts, take).points(interrupted));
        points += merged;
    }
    return points;
}

}  // namespace thirstline
