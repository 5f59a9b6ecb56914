#include "command.h"

#include <avr/pgmspace.h>
#include <stdlib.h>
#include <string.h>

#include "board.h"
#include "clock.h"
#include "config.h"
#include "line.h"
#include "sensor.h"
#include "settings.h"
#include "uart.h"
#include "watch.h"

#define ZERO_PATIENCE_US 10000000UL

static struct {
  uint16_t wanted; /* samples still to come, one second of them; 0: no zero is being measured */
  uint8_t range;
  uint8_t force;
  uint32_t asked_us;
  int16_t lowest, highest;
  int32_t sum, first_half;
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

/* A zero counts in the steps of its kind of sensor: another kind begins at its own middle. */
static uint8_t accept_sensor(uint8_t absolute) {
  if (settings.absolute != absolute) {
    settings.absolute = absolute;
    settings.zero[0] = sensor_nominal_zero();
  }
  zeroing.wanted = 0;
  return accept();
}

/* A number and nothing behind it, within limits; 0 when it is not. */
static uint8_t number(const char *text, float lowest, float highest, float *out) {
  char *end;
  float value = (float)strtod(text, &end);
  if (end == text || *end != 0 || !(value >= lowest && value <= highest)) return 0;
  *out = value;
  return 1;
}

/* The 5 V as a meter reads them now: from here on the 1.1 V reference tells them. It lies between 1.0 and 1.2 V
   (datasheet), so a number that makes it anything else is a wrong number. */
static uint8_t supply(const char *text) {
  float volts;
  uint16_t reference = supply_reference();
  if (!number(text, 4.5f, 5.5f, &volts)) {
    refuse_P(PSTR("supply: 4.5 to 5.5 V"));
  } else if (reference == 0) {
    refuse_P(PSTR("supply: wait a second after the start"));
  } else {
    float reference_v = reference / 16.0f / ADC_STEPS * volts;
    if (reference_v >= 1.0f && reference_v <= 1.2f) {
      settings.supply_counts = (uint16_t)(reference * volts / ADC_REFERENCE_V + 0.5f);
      return accept();
    }
    answer_P(PSTR("refused,supply: 1.1 V reference would be "));
    line_decimal(reference_v, 2);
    line_text_P(PSTR(" V"));
    line_end();
  }
  return 0;
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
  uint8_t force = strcmp_P(command, PSTR("zero force")) == 0;
  if (force || strcmp_P(command, PSTR("zero")) == 0) {
    zeroing.wanted = speed.rate_hz;
    zeroing.range = RANGES;
    zeroing.force = force;
    zeroing.asked_us = clock_us();
    return 0;
  }
  if ((value = after_word(command, PSTR("check"))) != 0) {
    answer_P(PSTR("check,"));
    line_hex4(line_crc(value));
    line_end();
    return 0;
  }
  if ((value = after_word(command, PSTR("sensor"))) != 0) {
    if (number(value, 0.01f, 1000, &settings.sensor_mv_per_a[0])) return accept_sensor(0);
    refuse_P(PSTR("sensor: 0.01 to 1000 mV per A"));
#ifdef SENSOR_ADC
  } else if ((value = after_word(command, PSTR("clamp"))) != 0) {
    if (number(value, 0.01f, 2000, &settings.sensor_mv_per_a[0])) return accept_sensor(1);
    refuse_P(PSTR("clamp: 0.01 to 2000 mV per A"));
#endif
  } else if ((value = after_word(command, PSTR("supply"))) != 0) {
    return supply(value);
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
  if (zeroing.wanted != 0 && clock_us() - zeroing.asked_us > ZERO_PATIENCE_US) {
    zeroing.wanted = 0;
    refuse_P(PSTR("zero: no steady samples came"));
  }
  const char *command = uart_command();
  if (command == 0) return 0;
  uint8_t hello_due = carry_out(command);
  uart_command_release();
  return hello_due;
}

static void amperes(float value) {
  line_decimal(value, RANGES == 2 ? 5 : 3); /* a step of the fine shunt is 25 uA */
  line_text_P(PSTR(" A"));
}

/* Why no zero is taken: it moves, or so much would be taken off that a current may flow. */
static void refuse_moving(float spread_a) {
  answer_P(PSTR("refused,zero: the reading moves by "));
  amperes(spread_a);
  line_end();
}

static void refuse_large(float reads_a, float limit_a) {
  answer_P(PSTR("refused,zero: reads "));
  amperes(reads_a);
  line_text_P(PSTR(", limit "));
  amperes(limit_a);
  if (!zeroing.force) line_text_P(PSTR("; no current? zero force"));
  line_end();
}

static uint8_t finish_zero(void) {
  uint8_t steps = sensor_steps();
  float scale = sensor_current_scale(zeroing.range);
  float mean = (float)zeroing.sum / speed.rate_hz;
  float half = (float)zeroing.first_half / (speed.rate_hz / 2);
  float halves = 2 * (mean - half); /* second half less the first */
  if (zeroing.highest - zeroing.lowest > ZERO_SPREAD * steps || halves > ZERO_MOVE * steps || halves < -ZERO_MOVE * steps) {
    refuse_moving((zeroing.highest - zeroing.lowest) * scale);
    return 0;
  }
  /* A zero is judged by what the reading is now; a forced one by how far it leaves the sensor's middle. */
  float moved = mean - settings.zero[zeroing.range];
  float beside = zeroing.force ? mean - sensor_nominal_zero() : moved;
  float limit = (zeroing.force ? ZERO_FORCE_LIMIT : ZERO_LIMIT) * ((float)sensor_highest() - sensor_lowest()) / 2;
  if (beside > limit || beside < -limit) {
    refuse_large(beside * scale, limit * scale);
    return 0;
  }
  settings.zero[zeroing.range] = mean;
  answer_P(PSTR("zero,moved by "));
  amperes(moved * scale);
  line_text_P(PSTR(" to "));
  line_decimal(mean, 2);
  line_text_P(PSTR(" counts"));
  line_end();
  return accept();
}

uint8_t command_watch(const struct block *block) {
  if (zeroing.wanted == 0) return 0;
  if (block->range != zeroing.range) {
    zeroing.wanted = speed.rate_hz;
    zeroing.range = block->range;
    zeroing.lowest = INT16_MAX;
    zeroing.highest = INT16_MIN;
    zeroing.sum = zeroing.first_half = 0;
  }
  for (uint8_t i = 0; i < block->samples && zeroing.wanted > 0; i++, zeroing.wanted--) {
    int16_t count = block->counts[i * CHANNELS];
    if (zeroing.wanted == speed.rate_hz / 2) zeroing.first_half = zeroing.sum;
    zeroing.sum += count;
    if (count < zeroing.lowest) zeroing.lowest = count;
    if (count > zeroing.highest) zeroing.highest = count;
  }
  return zeroing.wanted == 0 ? finish_zero() : 0;
}
