/* The parts of the ATT server: one PDU comes in, at most one answer goes out. Core Vol 3 Part F. */
#ifndef GW_ATT_H
#define GW_ATT_H

#include "gw_core.h"

/* Opcodes, Core Vol 3 Part F 3.4.8. */
enum {
  GW_ATT_ERROR = 0x01,
  GW_ATT_EXCHANGE_MTU = 0x02,
  GW_ATT_FIND_INFORMATION = 0x04,
  GW_ATT_FIND_BY_TYPE_VALUE = 0x06,
  GW_ATT_READ_BY_TYPE = 0x08,
  GW_ATT_READ = 0x0A,
  GW_ATT_READ_BLOB = 0x0C,
  GW_ATT_READ_MULTIPLE = 0x0E,
  GW_ATT_READ_BY_GROUP_TYPE = 0x10,
  GW_ATT_WRITE = 0x12,
  GW_ATT_PREPARE_WRITE = 0x16,
  GW_ATT_EXECUTE_WRITE = 0x18,
  GW_ATT_CONFIRMATION = 0x1E,
  GW_ATT_READ_MULTIPLE_VARIABLE = 0x20,
  GW_ATT_WRITE_COMMAND = 0x52
};

/* Error codes, Core Vol 3 Part F 3.4.1.1 and Core Specification Supplement Part B. */
enum {
  GW_ERR_INVALID_HANDLE = 0x01,
  GW_ERR_READ_NOT_PERMITTED = 0x02,
  GW_ERR_WRITE_NOT_PERMITTED = 0x03,
  GW_ERR_INVALID_PDU = 0x04,
  GW_ERR_NOT_SUPPORTED = 0x06,
  GW_ERR_INVALID_OFFSET = 0x07,
  GW_ERR_PREPARE_QUEUE_FULL = 0x09,
  GW_ERR_NOT_FOUND = 0x0A,
  GW_ERR_NOT_LONG = 0x0B,
  GW_ERR_LENGTH = 0x0D,
  GW_ERR_GROUP_TYPE = 0x10,
  GW_ERR_OUT_OF_SYNC = 0x12,
  GW_ERR_NOT_ALLOWED = 0x13,
  GW_ERR_REJECTED = 0xFC,
  GW_ERR_CCCD = 0xFD
};

/* Attribute types, assigned numbers 3.5 to 3.7. */
enum {
  GW_TYPE_PRIMARY = 0x2800,
  GW_TYPE_SECONDARY = 0x2801,
  GW_TYPE_INCLUDE = 0x2802,
  GW_TYPE_CHARACTERISTIC = 0x2803,
  GW_TYPE_DATABASE_HASH = 0x2B2A
};

/** One PDU under way. */
struct gw_request {
  struct gw_board *board;
  struct gw_link *link;
  const uint8_t *pdu;
  uint16_t length;
};

/** Octets that an attribute without octets of its own needs while it is looked at. */
enum { GW_SCRATCH = 20 };

/** Makes an Error Response. @return its octets */
uint16_t gw_att_refuse(const struct gw_request *request, uint8_t code, uint16_t handle);

/* Each writes its answer to `board->pdu`. @return its octets */
uint16_t gw_att_find_information(const struct gw_request *request);
uint16_t gw_att_find_by_type_value(const struct gw_request *request);
uint16_t gw_att_read_by_type(const struct gw_request *request);
uint16_t gw_att_read_by_group_type(const struct gw_request *request);
uint16_t gw_att_read(const struct gw_request *request);
uint16_t gw_att_read_blob(const struct gw_request *request);
uint16_t gw_att_read_multiple(const struct gw_request *request);
uint16_t gw_att_write(const struct gw_request *request);
uint16_t gw_att_prepare(const struct gw_request *request);
uint16_t gw_att_execute(const struct gw_request *request);
/** A Write Command: what is wrong is ignored. */
void gw_att_write_command(const struct gw_request *request);

/** Handle of the first prepared write; -1 when there is none. */
int32_t gw_att_first_prepared(const struct gw_board *board, const struct gw_link *link);

/* Attributes as a client sees them. */

/** The whole value. @param scratch GW_SCRATCH octets, for what lies nowhere */
struct gw_span gw_attribute(const struct gw_board *board, const struct gw_link *link, const uint8_t *row,
                            uint32_t handle, uint8_t *scratch);

/** Octets that the attribute may have at most; `*fixed`: and at least. */
uint16_t gw_attribute_limit(const struct gw_board *board, const uint8_t *row, bool *fixed);

/** ATT error for a client that may not read; permission before security; 0: it may. */
uint8_t gw_read_refusal(const struct gw_link *link, const uint8_t *row);
/** @param with bit of the permissions: GW_BY_REQUEST or GW_BY_COMMAND */
uint8_t gw_write_refusal(const struct gw_link *link, const uint8_t *row, uint8_t with);
enum { GW_BY_REQUEST = 0x40, GW_BY_COMMAND = 0x80 };

/** ATT error for octets that cannot become the attribute's value; length before content. */
uint8_t gw_value_refusal(const struct gw_request *request, const uint8_t *row, const uint8_t *value, uint16_t length);
/** Makes octets that were not refused the attribute's value. */
void gw_store(const struct gw_request *request, const uint8_t *row, const uint8_t *value, uint16_t length);

/** Marks what a client has read: values, for the screen; the database hash, for robust caching. */
void gw_note_read(const struct gw_request *request, const uint8_t *row);

/** Whether a range of handles may be asked about. Core Vol 3 Part F 3.4.3.1. */
static inline bool gw_is_range(uint16_t start, uint16_t end) { return start >= 1 && start <= end; }

#endif
