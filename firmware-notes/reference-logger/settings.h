/* The builder's numbers: from EEPROM, or the defaults of config.h where none are stored. */
#ifndef SETTINGS_H
#define SETTINGS_H

#include <stdint.h>

#include "config.h"

#define SERIAL_LENGTH 12

struct settings {
  float sensor_mv_per_a[2]; /* Hall sensor, clamp or shunt: mV/A is the same as milliohm. [1]: fine range */
  float zero[2];            /* counts at 0 A */
  float divider;            /* volts at the divider's top for one at the ADC */
  uint16_t supply_counts;   /* what the 1.1 V reference reads at 5.000 V, 1/16 count; 0: never measured */
  uint8_t absolute;         /* 1: the sensor gives volts of its own (a clamp); 0: a share of the 5 V (a Hall part) */
  char serial[SERIAL_LENGTH + 1];
  int16_t fine_enter_counts; /* derived: coarse counts below which the fine range will do */
};
extern struct settings settings;

/* At start. Returns 0 when something was stored but is damaged; the defaults are then in use. */
uint8_t settings_load(void);
/* After a change. Stored in the background by settings_poll, one byte at a time, so that no sample waits. */
void settings_changed(void);
void settings_poll(void);

#endif
