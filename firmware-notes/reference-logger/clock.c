#include "clock.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>

#include "board.h"
#include "button.h"
#include "sensor.h"

#define TIMER_TICKS_PER_US 2 /* 16 MHz / 8 */

static volatile uint32_t tick_us;

ISR(TIMER1_COMPA_vect) {
  tick_us += speed.period_us;
  sensor_tick();
  button_tick();
}

void clock_start(void) {
  OCR1A = speed.period_us * TIMER_TICKS_PER_US - 1;
  TCCR1A = 0;
  TIMSK1 = _BV(OCIE1A);
  TCCR1B = _BV(WGM12) | _BV(CS11);
}

uint32_t clock_tick_us(void) { return tick_us; }

uint32_t clock_us(void) {
  uint32_t now;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    uint16_t part = TCNT1;
    now = tick_us;
    if (TIFR1 & _BV(OCF1A)) { /* a tick is due but not yet served */
      part = TCNT1;
      now += speed.period_us;
    }
    now += part / TIMER_TICKS_PER_US;
  }
  return now;
}
