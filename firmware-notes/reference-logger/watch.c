#include "watch.h"

#include "board.h"
#include "config.h"
#include "notice.h"

void watch_range(uint8_t beyond, uint32_t t_us) {
  static uint16_t rest; /* samples until the next notice may be sent: one second without overload */
  if (beyond) {
    if (rest == 0) notice_post(NOTICE_RANGE, t_us, 0);
    rest = speed.rate_hz;
  } else if (rest > 0) {
    rest--;
  }
}

/*
 * The 1.1 V reference is good to 10 % only, but steady: so the supply is compared with what it was
 * at start, where the drop in percent is 100 x (reading - first) / reading.
 */
void watch_supply(uint16_t reading, uint32_t t_us) {
  static uint16_t first;
  static uint8_t skipped, low;
  if (skipped < 4) { /* the reference takes a moment after start */
    skipped++;
    first = reading;
    return;
  }
  if (reading == 0) return;
  uint8_t drop = reading > first ? (uint8_t)((uint32_t)(reading - first) * 100 / reading) : 0;
  if (!low && drop >= SUPPLY_LOW_PERCENT) {
    low = 1;
    notice_post(NOTICE_SUPPLY_LOW, t_us, drop);
  } else if (low && drop <= SUPPLY_OK_PERCENT) {
    low = 0;
    notice_post(NOTICE_SUPPLY_OK, t_us, drop);
  }
}
