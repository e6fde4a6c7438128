#include <algorithm>
#include <fstream>
#include <functional>
#include <limits>
#include <tuple>

#include "builder/export/format_writers.hpp"
#include "builder/export/image_bytes.hpp"
#include "builder/export/image_gradients.hpp"
#include "builder/export/image_postal.hpp"
#include "builder/export/image_tiles.hpp"
#include "builder/export/staged_files.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

constexpr std::uint64_t kFixedBytes = 64;
constexpr std::uint64_t kLayerBytes = 8;
constexpr std::uint64_t kLatticeBytes = 40;
constexpr std::uint64_t kGroupTiles = 8;
constexpr std::uint64_t kGroupBytes = 24;
/// So many groups begin a page, if pages are asked for. Their size changes by fewer bytes than a
/// page has, so that the next ones seldom move; half a page for each of them stays unused.
constexpr std::uint64_t kGroupsOfPages = 16;
constexpr std::size_t kTextBytes = kImageBlockContent - 1;
constexpr std::size_t kGreatestTile = std::numeric_limits<std::uint16_t>::max();
constexpr std::size_t kMaxImageLattices = 15;
constexpr std::uint64_t kHasGradients = 1;

std::string_view as_text(const ImageBytes& bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

/// A tile, followed by the checksum of its address and of itself.
ImageBytes checked_tile(std::size_t lattice, std::size_t part, std::size_t tile_row,
                        std::size_t tile_column, ImageBytes tile) {
    Crc32 crc;
    crc.add_little_endian(lattice << 8 | part, 4);
    crc.add_little_endian(tile_row, 4);
    crc.add_little_endian(tile_column, 4);
    crc.add(tile);
    append_number(tile, crc.value(), 4);
    return tile;
}

/// Takes bytes, piece by piece.
using ByteSink = std::function<Result<void>(std::string_view)>;

ByteSink into(TextFile& file) {
    return [&file](std::string_view bytes) { return file.write(bytes); };
}

ByteSink into(std::string& text) {
    return [&text](std::string_view bytes) {
        text += bytes;
        return Result<void>();
    };
}

/// Makes an image. The tiles are first kept separately, since the table of their offsets precedes
/// them.
class ImageExport {
  public:
    explicit ImageExport(const ExportJob& job)
        : job_(job), layouts_(image_layouts(job.variables)) {}

    Result<void> write_file() {
        auto staged = TRY(StagedFiles::beside(job_.output));
        auto tiles = TRY(TextFile::create(staged.path("tiles"), job_.output));
        TRY(write_tiles(into(tiles)));
        TRY(tiles.finish());
        TRY(read_places());
        TRY(check_size());
        auto image = TRY(TextFile::create(staged.path("image"), job_.output));
        const ByteSink out = into(image);
        TRY(write_front(out));
        TRY(copy_tiles(staged.path("tiles"), out));
        TRY(write_blocks(out));
        TRY(image.finish());
        return staged.place("image", job_.output);
    }

    Result<std::string> bytes_without_postal_codes() {
        std::string tiles;
        TRY(write_tiles(into(tiles)));
        TRY(check_size());
        std::string image;
        const ByteSink out = into(image);
        TRY(write_front(out));
        image += tiles;
        TRY(write_blocks(out));
        return image;
    }

  private:
    Result<void> write_tiles(const ByteSink& out) {
        TRY(plan());
        TRY(fill_page(out));
        for (std::size_t number = 0; number < lattices_.size(); ++number)
            TRY(write_tiles_of(number, out));
        return {};
    }

    /// Determines what to write, and the offsets of the tiles.
    Result<void> plan() {
        for (const Lattice& lattice : job_.lattices) {
            const auto window = TRY(window_of(job_, lattice));
            if (window.rows > 0) lattices_.push_back(image_lattice_of(lattice, window));
        }
        if (lattices_.empty()) return fail(nothing_selected(job_));
        if (lattices_.size() > kMaxImageLattices) {
            return fail(ErrorCode::usage, "an image holds at most 15 lattices, not " +
                                              std::to_string(lattices_.size()));
        }
        // In search order.
        std::ranges::stable_sort(lattices_, [](const ImageLattice& a, const ImageLattice& b) {
            return a.image.rank != b.image.rank ? a.image.rank > b.image.rank
                                                : a.image.id < b.image.id;
        });
        if (job_.with_gradients) TRY(plan_gradients());
        layers_ = 0;
        for (const TileLayout& layout : layouts_) layers_ += layout.layers.size();
        std::uint64_t offset = head_bytes();
        directories_.resize(lattices_.size());
        for (std::size_t number = 0; number < lattices_.size(); ++number) {
            for (std::size_t part = 0; part < kImageParts; ++part) {
                if (layouts_[part].layers.empty()) continue;
                directories_[number][part].offset = offset;
                offset += groups_along(number) * tile_rows(number) * kGroupBytes;
            }
        }
        tiles_end_ = offset;
        return {};
    }

    Result<void> plan_gradients() {
        gradients_ = image_gradients(job_.database.layout(), layouts_);
        for (const ImageLattice& lattice : lattices_)
            squares_.push_back(TRY(image_squares(job_, lattice, gradients_)));
        return {};
    }

    [[nodiscard]] std::uint64_t head_bytes() const {
        return kFixedBytes + layers_ * kLayerBytes + lattices_.size() * kLatticeBytes + 4;
    }
    [[nodiscard]] std::uint64_t tile_rows(std::size_t number) const {
        const Lattice& lattice = lattices_[number].image;
        return static_cast<std::uint64_t>(last_tile(lattice).tile_row -
                                          first_tile(lattice).tile_row + 1);
    }
    [[nodiscard]] std::uint64_t groups_along(std::size_t number) const {
        const Lattice& lattice = lattices_[number].image;
        const auto columns = static_cast<std::uint64_t>(last_tile(lattice).tile_column -
                                                        first_tile(lattice).tile_column + 1);
        return (columns + kGroupTiles - 1) / kGroupTiles;
    }

    Result<void> write_tiles_of(std::size_t number, const ByteSink& out) {
        ImageTiles tiles(job_, lattices_[number], layouts_);
        const int first_row = first_tile(lattices_[number].image).tile_row;
        for (std::uint64_t row = 0; row < tile_rows(number); ++row) {
            auto coded = TRY(tiles.row(first_row + static_cast<int>(row)));
            for (std::size_t part = 0; part < kImageParts; ++part) {
                if (layouts_[part].layers.empty()) continue;
                TRY(write_row(number, part, row, coded, out));
            }
        }
        return {};
    }

    /// One part of a row of tiles, and its groups in the directory.
    Result<void> write_row(std::size_t number, std::size_t part, std::uint64_t row,
                           ImageTiles::Row& coded, const ByteSink& out) {
        Directory& directory = directories_[number][part];
        for (std::size_t first = 0; first < groups_along(number) * kGroupTiles;
             first += kGroupTiles) {
            ImageBytes group;
            append_number(group, tiles_end_, 4);
            for (std::size_t column = first; column < first + kGroupTiles; ++column) {
                std::size_t size = 0;
                if (column < coded.size() && !coded[column][part].empty()) {
                    const ImageBytes tile =
                        checked_tile(number, part, row, column, std::move(coded[column][part]));
                    size = tile.size();
                    if (size > kGreatestTile) return fail(too_large("a tile"));
                    TRY(out(as_text(tile)));
                    tiles_end_ += size;
                    greatest_[part] = std::max(greatest_[part], size);
                }
                append_number(group, size, 2);
            }
            append_record(directory.bytes,
                          static_cast<std::uint32_t>(directory.offset + directory.bytes.size()),
                          group);
            if (++groups_ % kGroupsOfPages == 0) TRY(fill_page(out));
        }
        return {};
    }

    /// Zeros up to the next page.
    Result<void> fill_page(const ByteSink& out) {
        if (job_.page_bytes == 0) return {};
        const auto page = static_cast<std::uint64_t>(job_.page_bytes);
        const std::uint64_t end = (tiles_end_ + page - 1) / page * page;
        TRY(out(std::string(end - tiles_end_, '\0')));
        tiles_end_ = end;
        return {};
    }

    Result<void> read_places() {
        std::vector<PostalPlace> places;
        TRY(for_each_selected_place(job_, [&places](const PostalPlace& place) {
            places.push_back(place);
            places.back().place.clear();
            return Result<void>();
        }));
        std::ranges::stable_sort(places, [](const PostalPlace& a, const PostalPlace& b) {
            return std::tie(a.code, a.country) < std::tie(b.code, b.country);
        });
        postal_ = TRY(image_postal_index(places));
        return {};
    }

    [[nodiscard]] std::string text() const {
        return job_.provenance.notice + "\n" + provenance_text(job_.provenance);
    }
    [[nodiscard]] std::uint64_t postal_offset() const { return tiles_end_; }
    [[nodiscard]] std::uint64_t text_offset() const {
        return postal_offset() + postal_.blocks.size() * kImageBlockBytes;
    }
    [[nodiscard]] std::uint64_t gradient_offset() const {
        const std::uint64_t blocks = (text().size() + kTextBytes - 1) / kTextBytes;
        return text_offset() + blocks * kImageBlockBytes;
    }
    [[nodiscard]] std::uint64_t file_bytes() const {
        return gradient_offset() +
               (job_.with_gradients ? image_gradient_bytes(gradients_, squares_) : 0);
    }

    [[nodiscard]] Error too_large(const std::string& what) const {
        return {ErrorCode::bad_input,
                what + " of " + job_.output + " would be larger than an image can hold",
                "choose fewer --variables, or a part with --bbox or --region"};
    }
    [[nodiscard]] Result<void> check_size() const {
        if (file_bytes() > std::numeric_limits<std::uint32_t>::max())
            return fail(too_large("the whole"));
        return {};
    }

    /// Everything before the tiles.
    Result<void> write_front(const ByteSink& out) const {
        TRY(out(as_text(head())));
        for (const auto& of_lattice : directories_) {
            for (const Directory& directory : of_lattice) TRY(out(as_text(directory.bytes)));
        }
        return {};
    }

    Result<void> copy_tiles(const std::string& path, const ByteSink& out) const {
        return for_each_piece(path, "the tiles of " + job_.output, out);
    }

    /// Everything after the tiles.
    Result<void> write_blocks(const ByteSink& out) const {
        ImageBytes bytes;
        std::uint64_t offset = postal_offset();
        const auto add = [&bytes, &offset](const ImageBytes& content) {
            append_block(bytes, static_cast<std::uint32_t>(offset), content);
            offset += kImageBlockBytes;
        };
        for (const ImageBytes& block : postal_.blocks) add(block);
        const std::string texts = text();
        for (std::size_t at = 0; at < texts.size(); at += kTextBytes) {
            const std::string_view piece = std::string_view(texts).substr(at, kTextBytes);
            ImageBytes content{static_cast<std::uint8_t>(piece.size())};
            append_text(content, piece);
            add(content);
        }
        TRY(out(as_text(bytes)));
        if (!job_.with_gradients) return {};
        return out(as_text(image_gradient_section(gradients_, squares_, gradient_offset())));
    }

    [[nodiscard]] ImageBytes head() const {
        ImageBytes head;
        append_text(head, "ThLimg\r\n");
        append_number(head, 1, 2);
        append_number(head, job_.with_gradients ? 1 : 0, 2);
        append_number(head, file_bytes(), 4);
        append_number(head, head_bytes(), 2);
        append_number(head, kImageTileEdge, 1);
        append_number(head, lattices_.size(), 1);
        append_number(head, layers_, 1);
        append_number(head, postal_.levels, 1);
        append_number(head, postal_.position_bytes, 1);
        append_number(head, job_.with_gradients ? kHasGradients : 0, 1);
        append_number(head, postal_.position_unit_e7, 4);
        append_number(head, postal_.codes, 4);
        append_number(head, postal_offset(), 4);
        append_number(head, postal_.blocks.size(), 4);
        append_number(head, postal_.leaves, 4);
        append_number(head, text_offset(), 4);
        append_number(head, text().size(), 4);
        append_number(head, job_.provenance.notice.size(), 4);
        for (const std::size_t greatest : greatest_) append_number(head, greatest, 2);
        for (std::size_t part = 0; part < kImageParts; ++part)
            for (const Layer& layer : layouts_[part].layers) append_layer(head, layer, part);
        for (std::size_t number = 0; number < lattices_.size(); ++number)
            append_lattice(head, number);
        append_number(head, crc32(head), 4);
        return head;
    }

    static void append_layer(ImageBytes& head, const Layer& layer, std::size_t part) {
        append_number(head, static_cast<std::uint64_t>(layer.id), 1);
        append_number(head, part, 1);
        append_number(head, layer.shape == LayerShape::point ? 1 : 0, 1);
        append_number(head, layer.is_signed ? 1 : 0, 1);
        append_number(head, static_cast<std::uint64_t>(layer.divisor), 2);
        append_number(head, 0, 2);
    }

    void append_lattice(ImageBytes& head, std::size_t number) const {
        const Lattice& lattice = lattices_[number].image;
        for (const std::int32_t value :
             {lattice.west_arcsec, lattice.south_arcsec, lattice.spacing_arcsec, lattice.columns,
              lattice.rows, lattice.reach_m})
            append_number(head, static_cast<std::uint32_t>(value), 4);
        for (const Directory& directory : directories_[number])
            append_number(head, directory.offset, 4);
    }

    struct Directory {
        std::uint64_t offset = 0;  ///< 0 if there is no such part
        ImageBytes bytes;
    };

    const ExportJob& job_;
    ImageLayouts layouts_;
    std::size_t layers_ = 0;
    std::vector<ImageLattice> lattices_;
    std::vector<std::array<Directory, kImageParts>> directories_;
    std::array<std::size_t, kImageParts> greatest_{};
    ImagePostalIndex postal_;
    std::vector<Layer> gradients_;
    std::vector<ImageSquares> squares_;  ///< by lattice
    std::uint64_t tiles_end_ = 0;
    std::uint64_t groups_ = 0;  ///< that have been written
};

Result<void> check_variables(const ExportJob& job) {
    if (variable_of(job, LayerId::eto) != nullptr || variable_of(job, LayerId::rain) != nullptr)
        return {};
    return fail(ErrorCode::usage, "an image needs eto or rain among its --variables");
}

}  // namespace

bool image_holds(LayerId id) {
    return image_part_of(id).has_value();
}

bool image_holds_by_default(LayerId id) {
    return image_part_of(id) <= std::size_t{1};
}

Result<std::string> image_bytes_without_postal_codes(const ExportJob& job) {
    TRY(check_variables(job));
    return ImageExport(job).bytes_without_postal_codes();
}

Result<void> export_image(const ExportJob& job) {
    TRY(check_variables(job));
    return ImageExport(job).write_file();
}

}  // namespace thirstline
