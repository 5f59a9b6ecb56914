#include "button.h"

#include "board.h"
#include "clock.h"
#include "config.h"
#include "notice.h"

static uint8_t level; /* counts up while closed, down while open */
static uint8_t pressed;
static uint16_t presses;
static uint32_t contact_us; /* first contact of this press */

void button_tick(void) {
  const uint8_t full = (uint8_t)(DEBOUNCE_MS * 1000UL / speed.period_us);
  if (BUTTON_PRESSED()) {
    if (level == 0) contact_us = clock_tick_us();
    if (level < full) level++;
    if (level == full && !pressed) {
      pressed = 1;
      notice_post(NOTICE_MARK, contact_us, ++presses);
    }
  } else if (level > 0 && --level == 0) {
    pressed = 0;
  }
}
