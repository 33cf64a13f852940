/* Octets on their way from an interrupt to the main loop, or the other way: one writes, one reads. */
#ifndef RING_H
#define RING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** A power of two. */
#define RING_OCTETS 1024u

struct ring {
  volatile uint32_t head; /* octets written so far, modulo 2^32; only the writer changes it */
  volatile uint32_t tail; /* octets read so far */
  uint8_t octets[RING_OCTETS];
};

static inline uint32_t ring_used(const struct ring *ring) { return ring->head - ring->tail; }

static inline uint32_t ring_room(const struct ring *ring) { return RING_OCTETS - ring_used(ring); }

/** False, and the octet is lost, when there is no room. */
static inline bool ring_put(struct ring *ring, uint8_t octet) {
  if (ring_room(ring) == 0) return false;
  ring->octets[ring->head % RING_OCTETS] = octet;
  ring->head = ring->head + 1;
  return true;
}

static inline uint8_t ring_take(struct ring *ring) {
  uint8_t octet = ring->octets[ring->tail % RING_OCTETS];
  ring->tail = ring->tail + 1;
  return octet;
}

static inline size_t ring_read(struct ring *ring, uint8_t *octets, size_t room) {
  size_t count = 0;
  while (count < room && ring_used(ring) > 0) {
    octets[count] = ring_take(ring);
    count += 1;
  }
  return count;
}

#endif
