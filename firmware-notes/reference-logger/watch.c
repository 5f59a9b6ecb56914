#include "watch.h"

#include <util/atomic.h>

#include "board.h"
#include "clock.h"
#include "config.h"
#include "notice.h"
#include "settings.h"

#define SKIPPED 4 /* the reference takes a moment after start */
#define AVERAGED 8

volatile uint16_t supply_ratio = 1 << RATIO_BITS;
volatile uint8_t supply_dead;

static volatile uint16_t newest;
static volatile uint8_t fresh;
static uint16_t mean16;  /* of the latest readings, 1/16 count */
static uint16_t start16; /* the first mean: stands for 5.000 V where none is stored */
/* What a reference of 1.0 and of 1.2 V (datasheet) reads at 5.000 V, 1/16 count: a start beside these is no 5 V, whatever the chip. */
#define LEAST16 3277
#define MOST16 3932
static enum { GOOD, LOW, DEAD, HIGH } state = GOOD;

void watch_range(uint8_t beyond, uint32_t t_us) {
  static uint16_t rest; /* samples until the next notice may be sent: one second without overload */
  if (beyond) {
    if (rest == 0) notice_post(NOTICE_RANGE, t_us, 0);
    rest = speed.rate_hz;
  } else if (rest > 0) {
    rest--;
  }
}

void supply_read(uint16_t reading) {
  newest = reading;
  fresh = 1;
}

uint16_t supply_reference(void) { return start16 == 0 ? 0 : mean16; }

static void enter(uint8_t next, uint8_t code, uint8_t percent) {
  state = next;
  supply_dead = next == DEAD;
  notice_post(code, clock_us(), percent);
}

/* The reference is steady but good to 10 % only (datasheet), so it is compared with what it read at 5.000 V. */
static void judge(uint16_t reading16, uint16_t nominal16) {
  uint8_t low = reading16 > nominal16 ? (uint8_t)((uint32_t)(reading16 - nominal16) * 100 / reading16) : 0;
  uint32_t high = reading16 < nominal16 ? (uint32_t)(nominal16 - reading16) * 100 / reading16 : 0;
  if (state != DEAD && low >= SUPPLY_DEAD_PERCENT) enter(DEAD, NOTICE_SUPPLY_DEAD, low);
  else if (state == DEAD && low > SUPPLY_OK_PERCENT && low < SUPPLY_ALIVE_PERCENT) enter(LOW, NOTICE_SUPPLY_LOW, low);
  else if (state == GOOD && low >= SUPPLY_OFF_PERCENT) enter(LOW, NOTICE_SUPPLY_LOW, low);
  else if (state == GOOD && high >= SUPPLY_OFF_PERCENT) enter(HIGH, NOTICE_SUPPLY_HIGH, high > 99 ? 99 : (uint8_t)high);
  else if (state != GOOD && low <= SUPPLY_OK_PERCENT && high <= SUPPLY_OK_PERCENT) {
    enter(GOOD, NOTICE_SUPPLY_OK, SUPPLY_OK_PERCENT);
  }
}

void supply_poll(void) {
  static uint8_t seen;
  uint16_t reading;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    if (!fresh) return;
    fresh = 0;
    reading = newest;
  }
  if (reading == 0) return;
  if (seen < SKIPPED + AVERAGED) {
    if (seen++ < SKIPPED) return;
    mean16 += reading * (16 / AVERAGED);
    if (seen == SKIPPED + AVERAGED) start16 = mean16;
    return;
  }
  uint16_t reading16 = reading * 16;
  mean16 += (int16_t)(reading16 - mean16) / AVERAGED;
  uint16_t assumed16 = start16 < LEAST16 ? LEAST16 : start16 > MOST16 ? MOST16 : start16;
  uint16_t nominal16 = settings.supply_counts != 0 ? settings.supply_counts : assumed16;
  uint32_t ratio = ((uint32_t)nominal16 << RATIO_BITS) / mean16;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { supply_ratio = ratio > UINT16_MAX ? UINT16_MAX : (uint16_t)ratio; }
  judge(reading16, nominal16);
}
