-- Plain numbers for users of the sqlite3 shell. The tiles of codec 0 are decoded here in SQL alone,
-- without functions of our own. A constraint on tile_key, or on lat and lon of one tile, makes
-- queries fast.

-- Where each layer's values begin in a tile of codec 0, in bytes from the start of its data.
CREATE VIEW plain_layer AS
SELECT layer_id, name, shape, divisor, width_bytes, is_signed,
       (slots + 7) / 8 + sum(bytes) OVER (ORDER BY layer_id) - bytes AS first_byte
FROM (SELECT layer.*, slots,
             width_bytes * CASE shape WHEN 'point_month' THEN slots * 12
                                      WHEN 'point' THEN slots
                                      ELSE 12 END AS bytes
      FROM layer, (SELECT max(tile_edge) * max(tile_edge) AS slots FROM lattice));

-- One row for each lattice point that holds data.
CREATE VIEW point AS
WITH RECURSIVE slot(slot) AS (SELECT 0 UNION ALL
    SELECT slot + 1 FROM slot
    WHERE slot + 1 < (SELECT max(tile_edge) * max(tile_edge) FROM lattice))
SELECT tile.tile_key, slot.slot, lattice.lattice_id,
       (lattice.south_arcsec
        + (((tile.tile_key >> 20) & 1048575) * lattice.tile_edge + slot.slot / lattice.tile_edge
           - (lattice.south_arcsec + 324000) / lattice.spacing_arcsec) * lattice.spacing_arcsec)
       / 3600.0 AS lat,
       ((lattice.west_arcsec
         + ((tile.tile_key & 1048575) * lattice.tile_edge + slot.slot % lattice.tile_edge
            - (lattice.west_arcsec + 648000) / lattice.spacing_arcsec) * lattice.spacing_arcsec
         + 648000) % 1296000 - 648000)
       / 3600.0 AS lon
FROM tile
JOIN lattice ON lattice.lattice_id = tile.tile_key >> 40
JOIN slot ON slot.slot < lattice.tile_edge * lattice.tile_edge
WHERE tile.codec = 0
  AND (instr('0123456789ABCDEF', substr(hex(substr(tile.data, slot.slot / 8 + 1, 1)),
                                        CASE WHEN slot.slot % 8 < 4 THEN 2 ELSE 1 END, 1)) - 1)
      >> (slot.slot % 4) & 1;

-- One row for each point and month: what the file says there, in millimetres and degrees.
CREATE VIEW profile AS
WITH month(month, days) AS (VALUES (1, 31.0), (2, 28.25), (3, 31.0), (4, 30.0), (5, 31.0),
                                   (6, 30.0), (7, 31.0), (8, 31.0), (9, 30.0), (10, 31.0),
                                   (11, 30.0), (12, 31.0)),
raw AS (
    SELECT point.tile_key, point.lattice_id, point.lat, point.lon, month.month, month.days,
           plain_layer.name, plain_layer.divisor, plain_layer.is_signed,
           hex(substr(tile.data,
                      plain_layer.first_byte + 1
                      + plain_layer.width_bytes * (point.slot * 12 + month.month - 1),
                      plain_layer.width_bytes)) AS h
    FROM point
    JOIN tile ON tile.tile_key = point.tile_key
    JOIN month
    JOIN plain_layer ON plain_layer.shape = 'point_month' AND plain_layer.width_bytes = 2
),
number AS (
    SELECT tile_key, lattice_id, lat, lon, month, days, name, divisor, is_signed,
           (instr('0123456789ABCDEF', substr(h, 3, 1)) - 1) * 4096
           + (instr('0123456789ABCDEF', substr(h, 4, 1)) - 1) * 256
           + (instr('0123456789ABCDEF', substr(h, 1, 1)) - 1) * 16
           + (instr('0123456789ABCDEF', substr(h, 2, 1)) - 1) AS u
    FROM raw
),
value AS (
    SELECT tile_key, lattice_id, lat, lon, month, days, name,
           CASE WHEN is_signed AND u = 32768 THEN NULL
                WHEN is_signed AND u > 32768 THEN (u - 65536) * 1.0 / divisor
                WHEN NOT is_signed AND u = 65535 THEN NULL
                ELSE u * 1.0 / divisor END AS v
    FROM number
)
SELECT tile_key, lattice_id, lat, lon, month,
       max(CASE name WHEN 'eto' THEN round(v * days, 1) END) AS eto_mm,
       max(CASE name WHEN 'eto' THEN v END) AS eto_mm_per_day,
       max(CASE name WHEN 'eto_se' THEN round(v * days, 1) END) AS eto_se_mm,
       max(CASE name WHEN 'rain' THEN v END) AS rain_mm,
       max(CASE name WHEN 'rain_se' THEN v END) AS rain_se_mm,
       max(CASE name WHEN 'tmax' THEN v END) AS tmax_c,
       max(CASE name WHEN 'tmin' THEN v END) AS tmin_c,
       max(CASE name WHEN 'method' THEN CAST(v AS INTEGER) END) AS method_code
FROM value
GROUP BY tile_key, lattice_id, lat, lon, month;
