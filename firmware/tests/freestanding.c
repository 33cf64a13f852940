/* What a compiler calls by itself, where there is no C library. */
#include "gw_memory.h"

#include <stdint.h>

void *memcpy(void *to, const void *from, size_t octets) {
  uint8_t *into = to;
  const uint8_t *out = from;
  for (size_t i = 0; i < octets; i++) into[i] = out[i];
  return to;
}

void *memset(void *to, int octet, size_t octets) {
  uint8_t *into = to;
  for (size_t i = 0; i < octets; i++) into[i] = (uint8_t)octet;
  return to;
}

int memcmp(const void *a, const void *b, size_t octets) {
  const uint8_t *left = a;
  const uint8_t *right = b;
  for (size_t i = 0; i < octets; i++) {
    if (left[i] != right[i]) return left[i] < right[i] ? -1 : 1;
  }
  return 0;
}
