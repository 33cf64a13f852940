/* Streams of octets by name. */
#ifndef STREAM_H
#define STREAM_H

#include "gw_machine_port.h"

/** Opens `none`, `stdio`, `fd:IN,OUT`, `unix:PATH` (connects), `listen:PATH` (waits for one), or a path: a serial device
    as `PATH` or `PATH@BAUD` (115200 unless said; raw, 8N1), a FIFO or file.
    @return false after saying on standard error why not */
bool stream_open(struct gw_stream *stream, const char *name);

/** Whether octets, or the end, can be read now. */
bool stream_readable(const struct gw_stream *stream);

bool stream_writable(const struct gw_stream *stream);

/** Reads what is there, without waiting. At its end the stream's `in` becomes -1. */
size_t stream_read(struct gw_stream *stream, uint8_t *octets, size_t room);

/** Reads exactly so many octets, waiting for them; false at the end. */
bool stream_read_all(struct gw_stream *stream, uint8_t *octets, size_t length);

/** Writes all, waiting for room; gives up, and closes, a stream that nobody reads. */
void stream_write(struct gw_stream *stream, const uint8_t *octets, size_t length);

#endif
