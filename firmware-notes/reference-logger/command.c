#include "command.h"

#include <avr/pgmspace.h>
#include <stdlib.h>
#include <string.h>

#include "clock.h"
#include "config.h"
#include "line.h"
#include "settings.h"
#include "uart.h"

#define ZERO_SAMPLES 1020 /* 34 blocks */

static struct {
  uint16_t wanted; /* samples still to come; 0: no zero is being measured */
  uint8_t range;
  int16_t lowest, highest;
  int32_t sum;
} zeroing;

static void answer_P(const char *code_and_text_P) {
  line_notice_begin(clock_us());
  line_text_P(code_and_text_P);
}

static void refuse_P(const char *why_P) {
  answer_P(PSTR("refused,"));
  line_text_P(why_P);
  line_end();
}

static uint8_t accept(void) {
  settings_changed();
  return 1;
}

/* A number and nothing behind it, within limits; 0 when it is not. */
static uint8_t number(const char *text, float lowest, float highest, float *out) {
  char *end;
  float value = (float)strtod(text, &end);
  if (end == text || *end != 0 || !(value >= lowest && value <= highest)) return 0;
  *out = value;
  return 1;
}

/* Letters, digits and dashes only: the serial stands in JSON unescaped. */
static uint8_t serial(const char *text) {
  uint8_t length = 0;
  for (; text[length] != 0; length++) {
    char c = text[length];
    uint8_t allowed = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-';
    if (length == SERIAL_LENGTH || !allowed) return 0;
  }
  if (length == 0) return 0;
  strcpy(settings.serial, text);
  return 1;
}

/* What follows the word and one space, or 0 when the command is another. */
static const char *after_word(const char *command, const char *word_P) {
  uint8_t length = (uint8_t)strlen_P(word_P);
  return strncmp_P(command, word_P, length) == 0 && command[length] == ' ' ? command + length + 1 : 0;
}

static uint8_t carry_out(const char *command) {
  const char *value;
  if (strcmp_P(command, PSTR("zero")) == 0) {
    zeroing.wanted = ZERO_SAMPLES;
    zeroing.range = RANGES;
    return 0;
  }
  if ((value = after_word(command, PSTR("check"))) != 0) {
    answer_P(PSTR("check,"));
    line_hex4(line_crc(value));
    line_end();
    return 0;
  }
  if ((value = after_word(command, PSTR("sensor"))) != 0) {
    if (number(value, 0.01f, 1000, &settings.sensor_mv_per_a[0])) return accept();
    refuse_P(PSTR("sensor: 0.01 to 1000 mV per A"));
  } else if ((value = after_word(command, PSTR("fine"))) != 0) {
    if (number(value, 0.01f, 100000, &settings.sensor_mv_per_a[1])) return accept();
    refuse_P(PSTR("fine: 0.01 to 100000 milliohm"));
  } else if ((value = after_word(command, PSTR("divider"))) != 0) {
    if (number(value, 1, 100, &settings.divider)) return accept();
    refuse_P(PSTR("divider: 1 to 100"));
  } else if ((value = after_word(command, PSTR("serial"))) != 0) {
    if (serial(value)) return accept();
    refuse_P(PSTR("serial: 1 to 12 letters digits dashes"));
  }
  return 0;
}

uint8_t command_poll(void) {
  const char *command = uart_command();
  if (command == 0) return 0;
  uint8_t hello_due = carry_out(command);
  uart_command_release();
  return hello_due;
}

static uint8_t finish_zero(void) {
  float mean = (float)zeroing.sum / ZERO_SAMPLES;
  if (zeroing.highest - zeroing.lowest > ZERO_SPREAD || mean > NOMINAL_ZERO + ZERO_LIMIT ||
      mean < NOMINAL_ZERO - ZERO_LIMIT) {
    refuse_P(PSTR("zero: current flows or the sensor is noisy"));
    return 0;
  }
  settings.zero[zeroing.range] = mean;
  answer_P(PSTR("zero,"));
  line_decimal(mean, 2);
  line_text_P(PSTR(" counts"));
  line_end();
  return accept();
}

uint8_t command_watch(const struct block *block) {
  if (zeroing.wanted == 0) return 0;
  if (block->range != zeroing.range || zeroing.wanted == ZERO_SAMPLES) {
    zeroing.wanted = ZERO_SAMPLES;
    zeroing.range = block->range;
    zeroing.lowest = INT16_MAX;
    zeroing.highest = INT16_MIN;
    zeroing.sum = 0;
  }
  for (uint8_t i = 0; i < block->samples && zeroing.wanted > 0; i++, zeroing.wanted--) {
    int16_t count = block->counts[i * CHANNELS];
    zeroing.sum += count;
    if (count < zeroing.lowest) zeroing.lowest = count;
    if (count > zeroing.highest) zeroing.highest = count;
  }
  return zeroing.wanted == 0 ? finish_zero() : 0;
}
