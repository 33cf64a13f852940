/* The three functions of <string.h> that a freestanding C needs anyway; a compiler makes calls to them by itself. */
#ifndef GW_MEMORY_H
#define GW_MEMORY_H

#include <stddef.h>

void *memcpy(void *to, const void *from, size_t octets);
void *memset(void *to, int octet, size_t octets);
int memcmp(const void *a, const void *b, size_t octets);

#endif
