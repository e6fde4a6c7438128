/* The embedded image of a Thirstline baseline, read by firmware and apps without SQLite: C99 (and
 * C++), headers only, integers only. The format is described in schema/IMAGE.md.
 *
 * There is no allocation, no recursion, no global state and no floating point. Bytes are read one
 * by one, and every read is checked against the end. The image is in memory, or a callback reads
 * its bytes into the caller's buffer. Answers match those of the database that the image was made
 * from, to the last digit.
 *
 *     thirstline_image_source source = {0};
 *     thirstline_image image;
 *     thirstline_image_answer answer;
 *     source.memory = bytes; source.size = size;     (or read, context, buffer, buffer_bytes)
 *     if (thirstline_image_open(&image, &source) != THIRSTLINE_IMAGE_OK) ...
 *     thirstline_position_e7 position = {440625000, -380000000};
 *     if (thirstline_image_look_up(&image, position, THIRSTLINE_IMAGE_MEANS, &answer) ==
 *         THIRSTLINE_IMAGE_OK)
 *         july_eto = thirstline_image_value(&answer, 0, 6);     (in 1e-4 mm/day: divisor 100)
 *
 * thirstline_image_find_typed_code gives the position of a postal code as people type it, and
 * thirstline_image_find_code in the form in which images store it; thirstline_image_text the
 * notice, sources and terms that an app must show. thirstline_image_look_up_at_elevation adjusts to
 * a site's own elevation, if the image was exported with --gradients. thirstline_image_size tells
 * where an image in flash ends, and thirstline_image_verify checks all of it, as after a download.
 *
 * Macros that firmware may define before it includes this:
 *     THIRSTLINE_SMALL             less code, a smaller buffer, slower
 *     THIRSTLINE_ROW               the largest tile_edge supported: images have 6; default 8
 *     THIRSTLINE_IMAGE_LATTICES    maximum number of lattices of an image; default 4
 *
 * For any bytes, a call ends, reads only within them, and returns a status. The content of an image
 * is under its maker's control, so trust it as you trust the maker of the firmware.
 *
 * Thread safety: only one thread at a time may use an open image and its buffer; with `memory`, any
 * number of threads may read it at once. */
#ifndef THIRSTLINE_IMAGE_H
#define THIRSTLINE_IMAGE_H

#include "lookup/embedded/image_elevation.h"
#include "lookup/embedded/image_look_up.h"
#include "lookup/embedded/image_typed_codes.h"
#include "lookup/embedded/image_verify.h"

#endif
