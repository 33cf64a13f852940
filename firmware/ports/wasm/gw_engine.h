/* What the engine exports. Addresses are places in its memory. */
#ifndef GW_ENGINE_H
#define GW_ENGINE_H

#include <stdint.h>

/** Octets that an outlet holds: the longest line of the console and more. */
#define GW_ENGINE_OUTLET 16384U

/** What leaves the engine: take the octets and set `length` to 0. */
struct gw_engine_outlet {
  uint32_t length;
  uint8_t octets[GW_ENGINE_OUTLET];
};

/** Room for octets that go in: the table, the address, what is received. Never given back; null: there is none left. */
uint8_t *gw_engine_room(uint32_t octets);

/** Powers the board up, once. @param table stays where it is @param address six octets, or null: the controller gives
    one @return enum gw_status */
int32_t gw_engine_start(const uint8_t *table, uint32_t size, const uint8_t *address, uint32_t now);

/** H4 packets for the controller. */
struct gw_engine_outlet *gw_engine_to_controller(void);
/** Text for who sits at the console. */
struct gw_engine_outlet *gw_engine_to_person(void);

/** Octets from the controller, cut anywhere. */
void gw_engine_receive(const uint8_t *octets, uint32_t length, uint32_t now);

/** Octets typed on the console. @return how many were taken: the rest is to be offered again after gw_engine_poll */
uint32_t gw_engine_type(const uint8_t *octets, uint32_t length, uint32_t now);

/** Does what is due. Call it after each of the others. @return microseconds until the next time; UINT32_MAX: none */
uint32_t gw_engine_poll(uint32_t now);

/** @return enum gw_status */
int32_t gw_engine_set(uint32_t index, const uint8_t *octets, uint32_t length, uint32_t cause, uint32_t now);

/** Copies a value. @return its length */
uint32_t gw_engine_get(uint32_t index, uint8_t *octets, uint32_t room);

#endif
