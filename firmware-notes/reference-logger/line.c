#include "line.h"

#include <avr/pgmspace.h>
#include <stdlib.h>
#include <util/crc16.h>

#include "uart.h"

static uint16_t crc;
static uint32_t sequence;

/* avr-libc calls this update "xmodem"; started at 0xFFFF it is CRC-16/CCITT-FALSE. */
static uint16_t crc_add(uint16_t sum, char c) { return _crc_xmodem_update(sum, (uint8_t)c); }

void line_begin(char first) {
  uart_put(first);
  crc = 0xFFFF;
}

void line_put(char c) {
  uart_put(c);
  crc = crc_add(crc, c);
}

void line_text(const char *text) {
  while (*text != 0) line_put(*text++);
}

void line_text_P(const char *text) {
  for (char c; (c = (char)pgm_read_byte(text)) != 0; text++) line_put(c);
}

void line_unsigned(uint32_t value) {
  char text[11];
  line_text(ultoa(value, text, 10));
}

static char hex_digit(uint8_t nibble) { return (char)(nibble < 10 ? '0' + nibble : 'A' + nibble - 10); }

void line_hex4(uint16_t value) {
  for (int8_t shift = 12; shift >= 0; shift -= 4) line_put(hex_digit((value >> shift) & 15));
}

void line_decimal(float value, uint8_t decimals) {
  char text[24];
  line_text(dtostrf(value, 1, decimals, text));
}

void line_end(void) {
  uint16_t sum = crc;
  uart_put('*');
  line_hex4(sum);
  uart_put('\n');
}

void line_notice_begin(uint32_t t_us) {
  line_begin('!');
  line_unsigned(sequence);
  line_put(',');
  line_unsigned(t_us);
  line_put(',');
}

static char base64_digit(uint8_t value) {
  if (value < 26) return (char)('A' + value);
  if (value < 52) return (char)('a' + value - 26);
  if (value < 62) return (char)('0' + value - 52);
  return value == 62 ? '+' : '/';
}

/* RFC 4648 base64, with padding. */
static void put_base64(const uint8_t *bytes, uint8_t length) {
  while (length > 0) {
    uint8_t a = bytes[0];
    uint8_t b = length > 1 ? bytes[1] : 0;
    uint8_t c = length > 2 ? bytes[2] : 0;
    line_put(base64_digit(a >> 2));
    line_put(base64_digit((uint8_t)((a & 3) << 4 | b >> 4)));
    line_put(length > 1 ? base64_digit((uint8_t)((b & 15) << 2 | c >> 6)) : '=');
    line_put(length > 2 ? base64_digit(c & 63) : '=');
    bytes += 3;
    length = length > 3 ? length - 3 : 0;
  }
}

void line_block(const struct block *block) {
  line_begin('@');
  line_unsigned(sequence++);
  line_put(',');
  line_unsigned(block->t_us);
  line_put(',');
  line_unsigned(block->samples);
  line_put(',');
  /* The processor keeps int16 little-endian, as the line wants it. */
  put_base64((const uint8_t *)block->counts, (uint8_t)(block->samples * CHANNELS * sizeof(int16_t)));
  line_end();
}

uint16_t line_crc(const char *text) {
  uint16_t sum = 0xFFFF;
  while (*text != 0) sum = crc_add(sum, *text++);
  return sum;
}
