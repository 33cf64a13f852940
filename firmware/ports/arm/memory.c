/* The functions that a compiler calls by itself. Built with -fno-tree-loop-distribute-patterns, or each would become a
   call of itself. */
#include "gw_memory.h"

void *memcpy(void *to, const void *from, size_t octets) {
  unsigned char *into = (unsigned char *)to;
  const unsigned char *source = (const unsigned char *)from;
  size_t i;
  for (i = 0; i < octets; i++) into[i] = source[i];
  return to;
}

void *memset(void *to, int octet, size_t octets) {
  unsigned char *into = (unsigned char *)to;
  size_t i;
  for (i = 0; i < octets; i++) into[i] = (unsigned char)octet;
  return to;
}

int memcmp(const void *a, const void *b, size_t octets) {
  const unsigned char *left = (const unsigned char *)a;
  const unsigned char *right = (const unsigned char *)b;
  size_t i;
  for (i = 0; i < octets; i++) {
    if (left[i] != right[i]) return left[i] < right[i] ? -1 : 1;
  }
  return 0;
}
