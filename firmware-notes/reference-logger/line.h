/*
 * Lines on the serial port: first character, content, '*', four hex digits of the content's
 * CRC-16/CCITT-FALSE (polynomial 0x1021, start 0xFFFF), line feed. Main loop only.
 */
#ifndef LINE_H
#define LINE_H

#include <stdint.h>

#include "ring.h"

void line_begin(char first);
void line_put(char c);
void line_text(const char *text);
void line_text_P(const char *text); /* text in program memory */
void line_unsigned(uint32_t value);
void line_hex4(uint16_t value);
void line_decimal(float value, uint8_t decimals);
void line_end(void);

/* "!SEQ,T_US," where SEQ is the number the next block will carry. */
void line_notice_begin(uint32_t t_us);
void line_block(const struct block *block);

uint16_t line_crc(const char *text);

#endif
