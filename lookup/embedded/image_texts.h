/* The embedded image, the reading side: postal codes, and the texts that must be shown. See
 * image.h. */
#ifndef THIRSTLINE_IMAGE_TEXTS_H
#define THIRSTLINE_IMAGE_TEXTS_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_position.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    THIRSTLINE_IMAGE_LONGEST_CODE = 15,
    THIRSTLINE_IMAGE_BLOCK_CONTENT = THIRSTLINE_IMAGE_BLOCK_BYTES - THIRSTLINE_IMAGE_CRC_BYTES
};

/* A postal code's place. */
typedef struct {
    thirstline_position_e7 position;
    char country[2]; /* two capitals, without a final zero */
} thirstline_image_postal_place;

/* Entries of a block, read in sequence. */
typedef struct {
    const uint8_t* bytes; /* of the block */
    uint32_t next, left;
    uint8_t code[THIRSTLINE_IMAGE_LONGEST_CODE];
    uint32_t code_bytes;
    thirstline_image_postal_place place;
} thirstline_image_entries;

/* Reads the next entry's code, and in a leaf its place. False if it is not valid. */
static inline int thirstline_image_next_entry(const thirstline_image* image, int is_leaf,
                                              thirstline_image_entries* entries) {
    const uint8_t* bytes = entries->bytes;
    uint32_t at, head, shared, more, needed, shift;
    int restarts;
    if (entries->next >= THIRSTLINE_IMAGE_BLOCK_CONTENT) return 0;
    head = bytes[entries->next++];
    restarts = head >> 7 != 0;
    shared = head >> 4 & 7u;
    more = head & 15u;
    needed = more + (!is_leaf ? 0u : restarts ? 10u : 2u * image->position_bytes);
    if (shared > entries->code_bytes || shared + more > THIRSTLINE_IMAGE_LONGEST_CODE ||
        shared + more == 0 || needed > THIRSTLINE_IMAGE_BLOCK_CONTENT - entries->next)
        return 0;
    for (at = 0; at < more; ++at) entries->code[shared + at] = bytes[entries->next++];
    entries->code_bytes = shared + more;
    --entries->left;
    if (!is_leaf) return 1;
    if (restarts) {
        entries->place.country[0] = (char)bytes[entries->next];
        entries->place.country[1] = (char)bytes[entries->next + 1];
        entries->place.position.lat_e7 = thirstline_s32(thirstline_u32(bytes + entries->next + 2));
        entries->place.position.lon_e7 = thirstline_s32(thirstline_u32(bytes + entries->next + 6));
        entries->next += 10;
        return 1;
    }
    if (entries->place.country[0] == 0) return 0;
    for (at = 0; at < 2; ++at) {
        uint32_t step = 0, moved;
        for (shift = 0; shift < image->position_bytes; ++shift)
            step |= (uint32_t)bytes[entries->next++] << 8 * shift;
        if (image->position_bytes < 4 && (step >> (8 * image->position_bytes - 1) & 1u) != 0)
            step |= 0u - ((uint32_t)1 << 8 * image->position_bytes);
        moved = step * image->position_unit_e7; /* modulo 2^32, as it was written */
        if (at == 0)
            entries->place.position.lat_e7 =
                thirstline_s32((uint32_t)entries->place.position.lat_e7 + moved);
        else
            entries->place.position.lon_e7 =
                thirstline_s32((uint32_t)entries->place.position.lon_e7 + moved);
    }
    return 1;
}

/* Negative, 0 or positive if the entry's code is before, equal to or after the one searched for;
 * byte by byte. */
static inline int thirstline_image_compared(const thirstline_image_entries* entries,
                                            const char* code, uint32_t code_bytes) {
    uint32_t at;
    for (at = 0; at < entries->code_bytes && at < code_bytes; ++at) {
        const uint32_t here = entries->code[at], there = (uint8_t)code[at];
        if (here != there) return here < there ? -1 : 1;
    }
    return entries->code_bytes == code_bytes ? 0 : entries->code_bytes < code_bytes ? -1 : 1;
}

/* Reads a block of postal codes: `entries` is then before its first entry. */
static inline thirstline_image_status thirstline_image_postal_block(
    const thirstline_image* image, uint32_t block, thirstline_image_entries* entries) {
    thirstline_image_status status;
    entries->bytes = thirstline_image_record(
        &image->source, image->postal_offset + block * (uint32_t)THIRSTLINE_IMAGE_BLOCK_BYTES,
        THIRSTLINE_IMAGE_BLOCK_BYTES, &status);
    if (entries->bytes == NULL) return status;
    entries->left = entries->bytes[0];
    entries->next = 1;
    entries->code_bytes = 0;
    entries->place.country[0] = 0;
    return entries->left == 0 ? THIRSTLINE_IMAGE_DAMAGED : THIRSTLINE_IMAGE_OK;
}

/* The leaf that would contain the first entry of this code, or the one before. */
static inline thirstline_image_status thirstline_image_leaf_of(const thirstline_image* image,
                                                               const char* code,
                                                               uint32_t code_bytes,
                                                               uint32_t* leaf) {
    uint32_t block = image->postal_blocks - 1u, level;
    thirstline_image_entries entries;
    for (level = 0; level < image->postal_levels; ++level) {
        uint32_t child, number = 0;
        const thirstline_image_status status =
            thirstline_image_postal_block(image, block, &entries);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        child = thirstline_u32(entries.bytes + 1);
        entries.next = 5;
        while (entries.left != 0) {
            if (!thirstline_image_next_entry(image, 0, &entries)) return THIRSTLINE_IMAGE_DAMAGED;
            if (thirstline_image_compared(&entries, code, code_bytes) >= 0) break;
            ++number;
        }
        if (number != 0) --number;
        if (child >= block || number >= block - child) return THIRSTLINE_IMAGE_DAMAGED;
        block = child + number;
    }
    *leaf = block;
    return block < image->postal_leaves ? THIRSTLINE_IMAGE_OK : THIRSTLINE_IMAGE_DAMAGED;
}

/* Finds a postal code in the form stored in images: capitals, no blanks before or after, of the
 * United States five digits, of Canada the first three characters. `country` is two capitals, or a
 * null pointer for any. With SEVERAL, `*place` is the first country's. Returns OK, NO_SUCH_CODE,
 * SEVERAL, or a failure. */
static inline thirstline_image_status thirstline_image_find_code(
    const thirstline_image* image, const char* code, const char* country,
    thirstline_image_postal_place* place) {
    thirstline_image_status status;
    thirstline_image_entries entries;
    uint32_t code_bytes = 0, leaf = 0, found = 0;
    place->position.lat_e7 = place->position.lon_e7 = 0;
    place->country[0] = place->country[1] = 0;
    while (code[code_bytes] != 0 && code_bytes <= THIRSTLINE_IMAGE_LONGEST_CODE) ++code_bytes;
    if (image->postal_codes == 0 || code_bytes == 0 || code_bytes > THIRSTLINE_IMAGE_LONGEST_CODE)
        return THIRSTLINE_IMAGE_NO_SUCH_CODE;
    status = thirstline_image_leaf_of(image, code, code_bytes, &leaf);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    for (; leaf < image->postal_leaves; ++leaf) {
        status = thirstline_image_postal_block(image, leaf, &entries);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        while (entries.left != 0) {
            int order;
            if (!thirstline_image_next_entry(image, 1, &entries)) return THIRSTLINE_IMAGE_DAMAGED;
            order = thirstline_image_compared(&entries, code, code_bytes);
            if (order > 0)
                return found == 0   ? THIRSTLINE_IMAGE_NO_SUCH_CODE
                       : found == 1 ? THIRSTLINE_IMAGE_OK
                                    : THIRSTLINE_IMAGE_SEVERAL;
            if (order < 0) continue;
            if (country != NULL &&
                (entries.place.country[0] != country[0] || entries.place.country[1] != country[1]))
                continue;
            if (found++ == 0) *place = entries.place;
            if (country != NULL) return THIRSTLINE_IMAGE_OK;
        }
    }
    return found == 0   ? THIRSTLINE_IMAGE_NO_SUCH_CODE
           : found == 1 ? THIRSTLINE_IMAGE_OK
                        : THIRSTLINE_IMAGE_SEVERAL;
}

/* Reads up to `count` bytes of the image's text (UTF-8) from `offset` on into `text`, as many as
 * are available at once: `*copied` is their number, 0 at the end. The text begins with the notice,
 * image->notice_bytes long, which must be shown with every answer; then come title, sources,
 * licences and attributions. */
static inline thirstline_image_status thirstline_image_text(const thirstline_image* image,
                                                            uint32_t offset, char* text,
                                                            uint32_t count, uint32_t* copied) {
    const uint32_t block = offset / THIRSTLINE_IMAGE_TEXT_BYTES;
    const uint32_t from = offset % THIRSTLINE_IMAGE_TEXT_BYTES;
    thirstline_image_status status;
    const uint8_t* bytes;
    uint32_t expected, at;
    *copied = 0;
    if (offset >= image->text_bytes) return THIRSTLINE_IMAGE_OK;
    bytes = thirstline_image_record(
        &image->source, image->text_offset + block * (uint32_t)THIRSTLINE_IMAGE_BLOCK_BYTES,
        THIRSTLINE_IMAGE_BLOCK_BYTES, &status);
    if (bytes == NULL) return status;
    expected = image->text_bytes - block * (uint32_t)THIRSTLINE_IMAGE_TEXT_BYTES;
    if (expected > THIRSTLINE_IMAGE_TEXT_BYTES) expected = THIRSTLINE_IMAGE_TEXT_BYTES;
    if (bytes[0] != expected) return THIRSTLINE_IMAGE_DAMAGED;
    if (count > expected - from) count = expected - from;
    for (at = 0; at < count; ++at) text[at] = (char)bytes[1 + from + at];
    *copied = count;
    return THIRSTLINE_IMAGE_OK;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
