/* Hall sensor or clamp with voltage output on A0, divided voltage on A1, both against the 5 V supply. */
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
#define LOST_AFTER_MS 10

/* Conversions of one period, in this order; the last two only when the supply is due. */
enum { CURRENT, VOLTAGE, SUPPLY_SETTLING, SUPPLY };
static uint8_t conversion;
static uint8_t until_supply = SUPPLY_EVERY;
static int16_t current;
static uint16_t low_for; /* samples in a row at the bottom */
static uint8_t lost;

static void convert(uint8_t input) {
  ADMUX = input;
  ADCSRA |= _BV(ADSC);
}

void sensor_init(void) {
  DIDR0 = _BV(ADC0D) | _BV(ADC1D);
  ADMUX = CURRENT_INPUT;
  ADCSRA = _BV(ADEN) | _BV(ADIE) | speed.sensor;
}

void sensor_tick(void) {
  conversion = CURRENT;
  ADCSRA |= _BV(ADSC); /* the input was selected long ago, so it has settled */
}

/* Without a sensor the pull-down holds the pin at 0 V. That is no current: such a reading is never sent. */
static void take_sample(uint16_t voltage) {
  uint32_t t_us = clock_tick_us();
  if (current < LOST_BELOW) {
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
  watch_range(current < CLIP_LOW || current > CLIP_HIGH, t_us);
  ring_push(t_us, 0, current, (int16_t)voltage);
}

ISR(ADC_vect) {
  uint16_t reading = ADC;
  switch (conversion++) {
    case CURRENT:
      current = (int16_t)reading;
      convert(VOLTAGE_INPUT);
      return;
    case VOLTAGE:
      if (--until_supply == 0) {
        until_supply = SUPPLY_EVERY;
        convert(SUPPLY_INPUT);
      } else {
        ADMUX = CURRENT_INPUT;
      }
      take_sample(reading);
      return;
    case SUPPLY_SETTLING:
      convert(SUPPLY_INPUT);
      return;
    default:
      ADMUX = CURRENT_INPUT;
      watch_supply(reading, clock_tick_us());
  }
}

float sensor_current_scale(uint8_t range) {
  (void)range;
  return ADC_REFERENCE_V / ADC_STEPS / (settings.sensor_mv_per_a[0] * 0.001f);
}

float sensor_voltage_scale(void) { return ADC_REFERENCE_V / ADC_STEPS * settings.divider; }
int16_t sensor_lowest(void) { return CLIP_LOW; }
int16_t sensor_highest(void) { return CLIP_HIGH; }
int16_t sensor_voltage_highest(void) { return (int16_t)ADC_STEPS - 1; }
