#include "gw_check.h"
#include "gw_le.h"

/* Octets of a character by its first one, 0 for one that starts none; C0, C1 and F5 to FF never occur. */
static unsigned sequence_length(uint8_t lead) {
  if (lead < 0x80) return 1;
  if (lead < 0xC2) return 0;
  if (lead < 0xE0) return 2;
  if (lead < 0xF0) return 3;
  return lead < 0xF5 ? 4 : 0;
}

bool gw_is_utf8(const uint8_t *text, uint16_t length) {
  unsigned at = 0;
  while (at < length) {
    uint8_t lead = text[at];
    unsigned octets = sequence_length(lead);
    if (octets == 0 || octets > (unsigned)length - at) return false;
    for (unsigned i = 1; i < octets; i++) {
      if ((text[at + i] & 0xC0) != 0x80) return false;
    }
    if (octets > 2) {
      /* Narrower second octets keep out overlong forms, surrogates and what is too high. */
      uint8_t second = text[at + 1];
      if (lead == 0xE0 && second < 0xA0) return false;
      if (lead == 0xED && second > 0x9F) return false;
      if (lead == 0xF0 && second < 0x90) return false;
      if (lead == 0xF4 && second > 0x8F) return false;
    }
    at += octets;
  }
  return true;
}

bool gw_is_utf16(const uint8_t *text, uint16_t length) {
  if ((length & 1U) != 0) return false;
  bool high = false; /* the unit before was the first half of a pair */
  for (unsigned at = 0; at < length; at += 2) {
    unsigned unit = gw_u16(text + at) & 0xFC00U;
    if ((unit == 0xDC00U) != high) return false;
    high = unit == 0xD800U;
  }
  return !high;
}
