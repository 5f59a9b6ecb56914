#include "board.h"

/*
 * A block of 30 two-channel samples is at most 193 characters, 1930 bits on the line:
 *   1 000 000 baud: 4000 S/s use 26 % of the line, 1000 S/s 6 %
 *     500 000 baud: 2000 S/s use 26 %, 1000 S/s 13 %
 *     115 200 baud (really 117 647, +2.1 %): 1000 S/s use 55 %, 500 S/s 27 %
 * ADC: two conversions of 104 us at 125 kHz must fit in a period, and four where there is room (sensor_adc.c).
 * Monitor: 0.4 ms of I2C and two conversions (204 us code 1, 588 us code 3, each +10 %).
 */
#ifdef SENSOR_ADC
static const struct speed SPEED_1M = {1, 4000, 250, 0, 64};
static const struct speed SPEED_500K = {3, 2000, 500, 0, 32};
static const struct speed SPEED_115K2 = {16, 1000, 1000, 0, 16};
#else
static const struct speed SPEED_1M = {1, 1000, 1000, 1, 16};
static const struct speed SPEED_500K = {3, 1000, 1000, 1, 16};
static const struct speed SPEED_115K2 = {16, 500, 2000, 3, 8};
#endif

struct speed speed;

void board_init(void) {
  DDRB = _BV(PB5);
  /* Pull-ups on the button, the jumpers and the spare pins; D6 low: the bypass stays closed, as it was in reset. */
  PORTD = _BV(PD2) | _BV(PD3) | _BV(PD4) | _BV(PD5) | _BV(PD7);
  DDRD = _BV(PD1) | _BV(PD6);
  PORTB = _BV(PB0) | _BV(PB1) | _BV(PB2) | _BV(PB3) | _BV(PB4);
  for (uint8_t settle = 0; settle < 100; settle++) __asm__ volatile("nop");
  speed = JUMPER_115K2() ? SPEED_115K2 : JUMPER_500K() ? SPEED_500K : SPEED_1M;
}
