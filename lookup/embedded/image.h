/* The embedded image of a Thirstline baseline, read by firmware and apps without SQLite: C99 (and
 * C++), headers only, integers only. The format is described in schema/IMAGE.md.
 *
 * Nothing is allocated, nothing calls itself, there are no globals and no floating point, bytes are
 * read one by one, and every read is tested against the end. The image is in memory, or a callback
 * brings its bytes into a buffer of the caller's. Answers are those of the database that the image
 * was made from, to the last digit.
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
 * thirstline_image_find_code gives the position of a postal code, thirstline_image_text the notice,
 * sources and terms that an app must show.
 *
 * What firmware may say before it includes this:
 *     THIRSTLINE_SMALL             less code, a smaller buffer, slower
 *     THIRSTLINE_ROW               the greatest tile_edge that is read: images have 6; default 8
 *     THIRSTLINE_IMAGE_LATTICES    how many lattices an image may have; default 4
 *
 * For any bytes, a call ends, reads only within them, and returns a status. The maker of an image
 * decides what it says, so trust it as you trust the maker of the firmware.
 *
 * Thread safety: an open image belongs to one thread at a time, as its buffer does; with `memory`
 * any number of threads may read it at once. */
#ifndef THIRSTLINE_IMAGE_H
#define THIRSTLINE_IMAGE_H

#include "lookup/embedded/image_look_up.h"
#include "lookup/embedded/image_texts.h"

#endif
