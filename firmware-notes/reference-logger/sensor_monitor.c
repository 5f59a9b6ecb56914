/*
 * A 16-bit shunt and bus monitor on I2C (register map of TI SBOS547), one conversion a period,
 * started by this program so that every sample's moment is known. A second monitor over a larger
 * shunt, when fitted, gives a fine range; a transistor bypasses that shunt outside of it.
 */
#include <avr/interrupt.h>
#include <avr/io.h>

#include "board.h"
#include "clock.h"
#include "config.h"
#include "notice.h"
#include "ring.h"
#include "sensor.h"
#include "settings.h"
#include "twi.h"
#include "watch.h"

enum { REG_CONFIG = 0, REG_SHUNT = 1, REG_BUS = 2, REG_CALIBRATION = 5, REG_MAKER = 0xFE };
#define MAKER_ID 0x5449
/* The chip's own current and power registers are not read here; 0.00512 / 2560 makes them right for
   a current step of 2 uV / shunt, the data sheet's example: 1 mA at 2 milliohm. */
#define CALIBRATION 2560
/* Bit 14 is always set; no averaging; shunt then bus, once. */
#define CONFIG_ONCE(time) (uint16_t)(0x4000 | (time) << 6 | (time) << 3 | 3)
#define PROBE_EVERY_US 100000UL

/* From the tick that asked for a conversion to the middle of its shunt reading: 0.42 ms of dialogue
   and half a conversion time (tests/firmware/monitor.test.ts holds it to that). */
#define DIALOGUE_US 420

enum { COARSE, FINE };
static enum { PROBE, PROBE_FINE, RUN } state = PROBE;
static uint8_t range = COARSE;
static uint8_t fine_fitted;
static uint8_t pending;  /* a conversion asked for in the last period can be read now */
static uint8_t reported; /* the missing sensor has been reported */
static uint32_t asked_us, next_probe_us;
static uint16_t small_for; /* samples in a row that the fine range could show */
static uint8_t settling;   /* samples still to drop after a change to the fine range */
static uint16_t delay_us;
/* The bus is read after the shunt: its value at the shunt's moment lies between its last two readings, this far, 1/256. */
static uint8_t share;
static int16_t bus_before; /* negative: none that follows on */

static struct transfer script[3];

static uint8_t chip(void) { return range == FINE || state == PROBE_FINE ? FINE_ADDRESS : COARSE_ADDRESS; }

void sensor_init(void) {
  uint16_t conversion_us = speed.conversion == 1 ? 204 : 588;
  delay_us = DIALOGUE_US + conversion_us / 2;
  share = (uint8_t)((uint32_t)(speed.period_us - conversion_us) * 256 / speed.period_us);
  bus_before = -1;
  twi_init();
  ADMUX = SUPPLY_INPUT;
  ADCSRA = _BV(ADEN) | _BV(ADIE) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
}

static void go_coarse(void) {
  BYPASS_CLOSE();
  range = COARSE;
  small_for = 0;
  settling = 0;
  pending = 0;
  bus_before = -1;
}

static void lose(uint8_t address, uint32_t t_us) {
  if (!reported) notice_post(NOTICE_SENSOR_LOST, t_us, address);
  reported = 1;
  ring_close();
  LAMP_OFF();
  go_coarse();
  state = PROBE;
  next_probe_us = t_us + PROBE_EVERY_US;
}

static void begin_probe(void) {
  script[0] = (struct transfer){REG_MAKER, 0, 0};
  script[1] = (struct transfer){REG_CALIBRATION, 1, CALIBRATION};
  twi_begin(chip(), script, 2);
}

/* Reads what the last period asked for and asks again. The first reading is of no conversion of ours
   and is dropped (pending is 0). */
static void begin_sample(void) {
  script[0] = (struct transfer){REG_SHUNT, 0, 0};
  script[1] = (struct transfer){REG_BUS, 0, 0};
  script[2] = (struct transfer){REG_CONFIG, 1, CONFIG_ONCE(speed.conversion)};
  twi_begin(chip(), script, 3);
}

void sensor_tick(void) {
  static uint8_t until_supply = 1;
  uint32_t t_us = clock_tick_us();
  if (--until_supply == 0) {
    until_supply = speed.supply_every;
    ADCSRA |= _BV(ADSC);
  }
  if (twi_busy()) { /* a dialogue takes 0.4 ms: the bus hangs */
    twi_recover();
    lose(chip(), t_us);
  } else if (state == RUN) {
    begin_sample();
  } else if (state == PROBE_FINE || (int32_t)(t_us - next_probe_us) >= 0) {
    begin_probe();
  }
}

static void choose_range(int16_t shunt) {
  if (range == FINE) {
    if (shunt <= -FINE_LEAVE_COUNTS || shunt >= FINE_LEAVE_COUNTS) go_coarse();
  } else {
    /* Coarse counts that fill the chosen fraction of the fine range. */
    int16_t limit = settings.fine_enter_counts;
    small_for = shunt > -limit && shunt < limit ? small_for + 1 : 0;
    if (small_for < FINE_ENTER_MS * 4 / (speed.period_us / 250)) return;
    BYPASS_OPEN();
    range = FINE;
    settling = (uint8_t)(FINE_SETTLING_MS * 1000UL / speed.period_us) + 1;
    small_for = 0;
    pending = 0;
    bus_before = -1;
  }
}

static void take_sample(uint32_t t_us, int16_t shunt, int16_t bus) {
  uint8_t clipped = shunt == INT16_MAX || shunt == INT16_MIN;
  if (supply_dead) { /* the circuit gets its bypass back, and nothing is believed */
    go_coarse();
    ring_close();
    LAMP_OFF();
    return;
  }
  if (settling > 0) {
    settling--;
    if (fine_fitted) choose_range(shunt); /* a wake-up does not wait for the filter */
    return;
  }
  watch_range(range == COARSE && clipped, t_us);
  if (bus_before < 0) bus_before = bus;
  int16_t bus_then = bus_before + (int16_t)((int32_t)(bus - bus_before) * share >> 8);
  bus_before = bus;
  /* At full scale the fine shunt says only "more than this": better a short hole than a wrong value. */
  if (range == COARSE || !clipped) ring_push(t_us, range, shunt, bus_then);
  LAMP_ON();
  if (fine_fitted) choose_range(shunt);
}

void twi_done(uint8_t answered) {
  uint32_t t_us = clock_tick_us();
  uint8_t found = answered && (state == RUN || script[0].value == MAKER_ID);
  switch (state) {
    case PROBE:
      if (!found) {
        lose(COARSE_ADDRESS, t_us);
      } else {
        if (reported) notice_post(NOTICE_SENSOR_BACK, t_us, COARSE_ADDRESS);
        reported = 0;
        state = PROBE_FINE;
      }
      return;
    case PROBE_FINE:
      fine_fitted = found;
      state = RUN;
      return;
    default:
      if (!found) {
        lose(chip(), t_us);
      } else {
        uint8_t ready = pending;
        uint32_t sample_us = asked_us + delay_us;
        int16_t shunt = (int16_t)script[0].value;
        int16_t bus = (int16_t)script[1].value;
        pending = 1;
        asked_us = t_us;
        /* Some 30 us follow, and the receiver keeps only two bytes: its interrupts go first. The next dialogue is half a period away. */
        sei();
        if (ready) take_sample(sample_us, shunt, bus);
      }
  }
}

ISR(ADC_vect) { supply_read(ADC); }

float sensor_current_scale(uint8_t of_range) { return MONITOR_SHUNT_MV / settings.sensor_mv_per_a[of_range]; }
float sensor_voltage_scale(void) { return MONITOR_BUS_V; }
int16_t sensor_lowest(void) { return INT16_MIN + 1; }
int16_t sensor_highest(void) { return INT16_MAX; }
int16_t sensor_voltage_highest(void) { return (int16_t)(BUS_HIGHEST_V / MONITOR_BUS_V); }
int16_t sensor_nominal_zero(void) { return NOMINAL_ZERO; }
uint8_t sensor_steps(void) { return 1; }
