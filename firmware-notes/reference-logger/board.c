#include "board.h"

/*
 * A block of 30 two-channel samples is at most 193 characters, 1930 bits on the line:
 *   1 000 000 baud: 4000 S/s use 26 % of the line, 1000 S/s 6 %
 *     500 000 baud: 2000 S/s use 26 %, 1000 S/s 13 %
 *     115 200 baud (really 117 647, +2.1 %): 1000 S/s use 55 %, 500 S/s 27 %
 * ADC: two conversions and, now and then, two of the supply must fit in a period: 4 x 52 us with
 * the clock divided by 64, 4 x 104 us by 128.
 * Monitor: 0.4 ms of I2C and two conversions (204 us code 1, 588 us code 3, each +10 %).
 */
#ifdef SENSOR_ADC
static const struct speed SPEED_1M = {1, 4000, 250, _BV(ADPS2) | _BV(ADPS1)};
static const struct speed SPEED_500K = {3, 2000, 500, _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0)};
static const struct speed SPEED_115K2 = {16, 1000, 1000, _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0)};
#else
static const struct speed SPEED_1M = {1, 1000, 1000, 1};
static const struct speed SPEED_500K = {3, 1000, 1000, 1};
static const struct speed SPEED_115K2 = {16, 500, 2000, 3};
#endif

struct speed speed;

void board_init(void) {
  DDRB = _BV(PB5);
  DDRD = _BV(PD1) | _BV(PD6);
  /* Pull-ups on the button, the jumpers and the spare pins; bypass closed: the circuit is never starved. */
  PORTD = _BV(PD2) | _BV(PD3) | _BV(PD4) | _BV(PD5) | _BV(PD6) | _BV(PD7);
  PORTB = _BV(PB0) | _BV(PB1) | _BV(PB2) | _BV(PB3) | _BV(PB4);
  for (uint8_t settle = 0; settle < 100; settle++) __asm__ volatile("nop");
  speed = JUMPER_115K2() ? SPEED_115K2 : JUMPER_500K() ? SPEED_500K : SPEED_1M;
}
