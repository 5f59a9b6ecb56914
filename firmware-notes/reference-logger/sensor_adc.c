/*
 * Hall sensor or clamp on A0, divided voltage on A1, both against the 5 V supply.
 *
 * Conversions run at 125 kHz, within the 50 to 200 kHz that the datasheet asks for full resolution: 104 us each,
 * two a period. The voltage therefore comes later than the current; it is reckoned back to the current's moment
 * along the line between its last two readings. The 1.1 V reference needs a conversion to settle; both of its
 * conversions run at 250 kHz, at calibration and ever after. At 4000 S/s they take the place of one voltage in 64,
 * which is then drawn between its neighbours.
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
#include "watch.h"

#define CURRENT_INPUT (_BV(REFS0) | 0)
#define VOLTAGE_INPUT (_BV(REFS0) | 1)
#define CLOCK_BITS (_BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0))
#define CLOCK_125K (_BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0))
#define CLOCK_250K (_BV(ADPS2) | _BV(ADPS1))
#define LOST_AFTER_MS 10
#define LONG_PERIOD_US 500 /* from here on a period holds four conversions */
/* From the current's sample-and-hold to the voltage's: 13 clocks of 8 us, and the restart in between. */
#define VOLTAGE_LATER_US 108

static enum { NOTHING, CURRENT, VOLTAGE, SUPPLY_SETTLING, SUPPLY } converting;
static uint8_t until_supply;
static uint16_t current;
static uint16_t low_for; /* samples in a row at the bottom */
static uint8_t lost;
/* A sample whose voltage is still to be drawn between the last reading and the next. */
static uint8_t held;
static uint16_t held_current;
static uint32_t held_us;
static int16_t voltage_before; /* last reading, 1/16 count; negative: none yet */
/* Where the current's moment lies between the last two readings of the voltage, 1/256: readings one period apart,
   and the earlier and the later sample of two when they are two periods apart. */
static uint8_t share, share_held, share_after;

static void convert(uint8_t input) {
  ADMUX = input;
  ADCSRA |= _BV(ADSC);
}

static void set_clock(uint8_t bits) { ADCSRA = (ADCSRA & ~CLOCK_BITS) | bits; }

void sensor_init(void) {
  uint16_t period = speed.period_us;
  share = (uint8_t)((uint32_t)(period - VOLTAGE_LATER_US) * 256 / period);
  share_held = share / 2;
  share_after = (uint8_t)((uint32_t)(2 * period - VOLTAGE_LATER_US) * 128 / period);
  voltage_before = -1;
  until_supply = speed.supply_every;
  DIDR0 = _BV(ADC0D) | _BV(ADC1D);
  ADMUX = CURRENT_INPUT;
  /* The first conversion takes 25 clocks instead of 13 (datasheet): it is made here and forgotten. */
  ADCSRA = _BV(ADEN) | _BV(ADSC) | CLOCK_125K;
  while (ADCSRA & _BV(ADSC)) {
  }
  ADCSRA = _BV(ADEN) | _BV(ADIE) | CLOCK_125K;
}

void sensor_tick(void) {
  if (ADCSRA & _BV(ADSC)) return; /* never taken for another's reading: this sample is a hole */
  converting = CURRENT;
  ADCSRA |= _BV(ADSC); /* the input was selected long ago, so it has settled */
  if (until_supply > 0) until_supply--;
}

static int16_t corrected(int16_t value) { return (int16_t)((int32_t)value * supply_ratio >> RATIO_BITS); }

/* Without a sensor the pull-down holds the pin at 0 V. That is no current: such a reading is never sent. */
static void take_sample(uint32_t t_us, uint16_t count, int16_t voltage16) {
  if (supply_dead) {
    ring_close();
    LAMP_OFF();
    return;
  }
  if (count < LOST_BELOW) {
    if (!lost && ++low_for * (speed.period_us / 250) >= LOST_AFTER_MS * 4) {
      lost = 1;
      notice_post(NOTICE_SENSOR_LOST, t_us, 0);
      ring_close();
      LAMP_OFF();
    }
    return;
  }
  if (lost) notice_post(NOTICE_SENSOR_BACK, t_us, 0);
  lost = 0;
  low_for = 0;
  LAMP_ON();
  watch_range(count < CLIP_LOW || count > CLIP_HIGH, t_us);
  int16_t sent = settings.absolute ? corrected(((int16_t)count - NOMINAL_ZERO) * FINE_STEPS) : (int16_t)count;
  ring_push(t_us, 0, sent, corrected(voltage16));
}

static int16_t between(int16_t now16, uint8_t part) {
  return voltage_before + (int16_t)((int32_t)(now16 - voltage_before) * part >> 8);
}

/*
 * Some 30 us: at 1 Mbaud that is three bytes, and the receiver keeps two. So other interrupts go first; the next one
 * of this kind is 52 us away at least.
 */
static void take_voltage(uint16_t reading) {
  int16_t now16 = (int16_t)(reading * FINE_STEPS);
  uint32_t t_us = clock_tick_us();
  uint16_t count = current;
  sei();
  if (voltage_before < 0) voltage_before = now16;
  if (held) take_sample(held_us, held_current, between(now16, share_held));
  take_sample(t_us, count, between(now16, held ? share_after : share));
  held = 0;
  voltage_before = now16;
}

static void begin_supply(void) {
  until_supply = speed.supply_every;
  converting = SUPPLY_SETTLING;
  set_clock(CLOCK_250K);
  convert(SUPPLY_INPUT);
}

ISR(ADC_vect) {
  uint16_t reading = ADC;
  switch (converting) {
    case CURRENT:
      current = reading;
      if (until_supply == 0 && speed.period_us < LONG_PERIOD_US && voltage_before >= 0) {
        begin_supply();
        held = 1;
        held_current = reading;
        held_us = clock_tick_us();
      } else {
        converting = VOLTAGE;
        convert(VOLTAGE_INPUT);
      }
      return;
    case VOLTAGE:
      if (until_supply == 0 && speed.period_us >= LONG_PERIOD_US) begin_supply();
      else ADMUX = CURRENT_INPUT;
      take_voltage(reading);
      return;
    case SUPPLY_SETTLING:
      converting = SUPPLY;
      convert(SUPPLY_INPUT);
      return;
    case SUPPLY:
      set_clock(CLOCK_125K);
      ADMUX = CURRENT_INPUT;
      supply_read(reading);
      return;
    default: /* what was forgotten at the start */
      return;
  }
}

float sensor_current_scale(uint8_t range) {
  (void)range;
  return ADC_REFERENCE_V / ADC_STEPS / (settings.sensor_mv_per_a[0] * 0.001f) / sensor_steps();
}

uint8_t sensor_steps(void) { return settings.absolute ? FINE_STEPS : 1; }
int16_t sensor_nominal_zero(void) { return settings.absolute ? 0 : NOMINAL_ZERO; }

/* A clip level of the pin in counts as they are sent. */
static int16_t as_sent(int16_t count) { return settings.absolute ? (count - NOMINAL_ZERO) * FINE_STEPS : count; }

float sensor_voltage_scale(void) { return ADC_REFERENCE_V / ADC_STEPS / FINE_STEPS * settings.divider; }
int16_t sensor_lowest(void) { return as_sent(CLIP_LOW); }
int16_t sensor_highest(void) { return as_sent(CLIP_HIGH); }
int16_t sensor_voltage_highest(void) { return (int16_t)(ADC_STEPS - 1) * FINE_STEPS; }
