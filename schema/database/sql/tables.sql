-- The tables of a Thirstline file, format 1. FORMAT.md describes their content.
-- Every constraint has a name, so that an error names the rule that was broken.

CREATE TABLE metadata (
    key   TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE lattice (
    lattice_id     INTEGER NOT NULL PRIMARY KEY
        CONSTRAINT lattice_id_in_range CHECK (lattice_id BETWEEN 1 AND 4095),
    name           TEXT NOT NULL,
    west_arcsec    INTEGER NOT NULL
        CONSTRAINT lattice_west_in_range CHECK (west_arcsec BETWEEN -648000 AND 647999),
    south_arcsec   INTEGER NOT NULL
        CONSTRAINT lattice_south_in_range CHECK (south_arcsec BETWEEN -324000 AND 324000),
    spacing_arcsec INTEGER NOT NULL
        CONSTRAINT lattice_spacing_in_range CHECK (spacing_arcsec BETWEEN 1 AND 36000),
    columns        INTEGER NOT NULL
        CONSTRAINT lattice_columns_positive CHECK (columns >= 1),
    rows           INTEGER NOT NULL
        CONSTRAINT lattice_rows_positive CHECK (rows >= 1),
    rank           INTEGER NOT NULL,
    tile_edge      INTEGER NOT NULL
        CONSTRAINT lattice_tile_edge_in_range CHECK (tile_edge BETWEEN 2 AND 64),
    reach_m        INTEGER NOT NULL
        CONSTRAINT lattice_reach_in_range CHECK (reach_m BETWEEN 0 AND 20000000),
    CONSTRAINT lattice_within_a_circle CHECK ((columns - 1) * spacing_arcsec < 1296000),
    CONSTRAINT lattice_within_the_poles
        CHECK (south_arcsec + (rows - 1) * spacing_arcsec <= 324000)
) STRICT;

CREATE TABLE layer (
    layer_id    INTEGER NOT NULL PRIMARY KEY
        CONSTRAINT layer_id_in_range CHECK (layer_id BETWEEN 1 AND 255),
    name        TEXT NOT NULL CONSTRAINT layer_name_once UNIQUE,
    unit        TEXT NOT NULL,
    shape       TEXT NOT NULL
        CONSTRAINT layer_shape_known CHECK (shape IN ('point_month', 'point', 'tile_month')),
    divisor     INTEGER NOT NULL
        CONSTRAINT layer_divisor_in_range CHECK (divisor BETWEEN 1 AND 10000),
    width_bytes INTEGER NOT NULL
        CONSTRAINT layer_width_known CHECK (width_bytes IN (1, 2)),
    is_signed   INTEGER NOT NULL
        CONSTRAINT layer_is_signed_boolean CHECK (is_signed IN (0, 1))
) STRICT;

CREATE TABLE source (
    source_id   INTEGER NOT NULL PRIMARY KEY,
    name        TEXT NOT NULL,
    variable    TEXT NOT NULL,
    period      TEXT NOT NULL,
    licence     TEXT NOT NULL,
    attribution TEXT NOT NULL,
    url         TEXT NOT NULL,
    values_used INTEGER NOT NULL
        CONSTRAINT source_values_not_negative CHECK (values_used >= 0)
) STRICT;

CREATE TABLE source_rejection (
    source_id INTEGER NOT NULL
        CONSTRAINT source_rejection_has_source REFERENCES source (source_id),
    rule      TEXT NOT NULL,
    count     INTEGER NOT NULL
        CONSTRAINT source_rejection_count_positive CHECK (count > 0),
    PRIMARY KEY (source_id, rule)
) STRICT, WITHOUT ROWID;

CREATE TABLE source_file (
    source_id INTEGER NOT NULL
        CONSTRAINT source_file_has_source REFERENCES source (source_id),
    position  INTEGER NOT NULL,
    name      TEXT NOT NULL,
    sha256    TEXT NOT NULL
        CONSTRAINT source_file_sha256_form CHECK (length(sha256) = 64),
    PRIMARY KEY (source_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE period (
    period_id INTEGER NOT NULL PRIMARY KEY
        CONSTRAINT period_id_in_range CHECK (period_id BETWEEN 0 AND 254),
    text      TEXT NOT NULL
) STRICT;

CREATE TABLE method (
    code            INTEGER NOT NULL PRIMARY KEY
        CONSTRAINT method_code_in_range CHECK (code BETWEEN 0 AND 65534),
    name            TEXT NOT NULL,
    note            TEXT NOT NULL,
    site_correction TEXT NOT NULL
) STRICT;

-- tile_key = lattice_id * 2^40 + tile_row * 2^20 + tile_column
-- gap = tile_key less the tile_key of the row before (less 0 in the first row): so that a row proves
-- that the file holds nothing between the two, and a row that damage has hidden is missed.
CREATE TABLE tile (
    tile_key INTEGER NOT NULL PRIMARY KEY,
    gap      INTEGER NOT NULL
        CONSTRAINT tile_gap_in_range CHECK (gap BETWEEN 1 AND tile_key),
    codec    INTEGER NOT NULL
        CONSTRAINT tile_codec_in_range CHECK (codec BETWEEN 0 AND 255),
    crc32    INTEGER NOT NULL
        CONSTRAINT tile_crc32_in_range CHECK (crc32 BETWEEN 0 AND 4294967295),
    data     BLOB NOT NULL
) STRICT;

-- The evidence behind the numbers: stations that were used.
CREATE TABLE station (
    station_id  INTEGER NOT NULL PRIMARY KEY
        CONSTRAINT station_id_positive CHECK (station_id > 0),
    name        TEXT NOT NULL,
    country     TEXT NOT NULL,
    lat_e7      INTEGER NOT NULL
        CONSTRAINT station_latitude_in_range CHECK (lat_e7 BETWEEN -900000000 AND 900000000),
    lon_e7      INTEGER NOT NULL
        CONSTRAINT station_longitude_in_range CHECK (lon_e7 BETWEEN -1800000000 AND 1799999999),
    elevation_m INTEGER NOT NULL
        CONSTRAINT station_elevation_in_range CHECK (elevation_m BETWEEN -1000 AND 10000),
    source      TEXT NOT NULL,
    period      TEXT NOT NULL,
    variables   TEXT NOT NULL,
    crc32       INTEGER NOT NULL
        CONSTRAINT station_crc32_in_range CHECK (crc32 BETWEEN 0 AND 4294967295)
) STRICT;

CREATE TABLE postal (
    code    TEXT NOT NULL
        CONSTRAINT postal_code_not_empty CHECK (length(code) > 0),
    country TEXT NOT NULL
        CONSTRAINT postal_country_form CHECK (country GLOB '[A-Z][A-Z]'),
    place   TEXT NOT NULL,
    lat_e7  INTEGER NOT NULL
        CONSTRAINT postal_latitude_in_range CHECK (lat_e7 BETWEEN -900000000 AND 900000000),
    lon_e7  INTEGER NOT NULL
        CONSTRAINT postal_longitude_in_range CHECK (lon_e7 BETWEEN -1800000000 AND 1799999999),
    crc32   INTEGER NOT NULL
        CONSTRAINT postal_crc32_in_range CHECK (crc32 BETWEEN 0 AND 4294967295),
    PRIMARY KEY (code, country)
) STRICT, WITHOUT ROWID;
