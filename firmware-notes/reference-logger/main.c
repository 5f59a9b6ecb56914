/*
 * amptrail reference logger. Samples are taken in interrupts (clock.c paces, sensor_*.c reads) and
 * wait in ring.c; this loop writes them, and everything else, as lines (../line-protocol.md).
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <avr/wdt.h>

#include "board.h"
#include "clock.h"
#include "command.h"
#include "hello.h"
#include "line.h"
#include "notice.h"
#include "ring.h"
#include "sensor.h"
#include "settings.h"
#include "uart.h"
#include "watch.h"

#define HELLO_REST_US 200000UL /* however often it is asked for: five a second use 1.3 kB/s at most */

static uint8_t reset_cause __attribute__((section(".noinit")));

/* Before anything else: the watchdog stays on after its own reset and would strike again. */
void take_reset_cause(void) __attribute__((naked, used, section(".init3")));
void take_reset_cause(void) {
  reset_cause = MCUSR;
  MCUSR = 0;
  wdt_disable();
}

static void report_start(void) {
  uint8_t code = reset_cause & _BV(WDRF)  ? NOTICE_WATCHDOG
                 : reset_cause & _BV(PORF) ? NOTICE_START /* a power-on sets the brown-out flag too */
                 : reset_cause & _BV(BORF) ? NOTICE_BROWNOUT
                                           : NOTICE_START;
  notice_post(code, clock_us(), reset_cause);
}

int main(void) {
  uint8_t range = 0; /* of the hello line sent last, and so of the blocks that follow it */
  uint8_t hello_due = 0;
  board_init();
  uint8_t settings_sound = settings_load();
  uart_init();
  uart_put('\n'); /* a line that the reset cut off ends here, and does not swallow the hello */
  hello_send(range);
  uint32_t hello_us = 0;
  report_start();
  if (!settings_sound) notice_post(NOTICE_SETTINGS_DAMAGED, 0, 0);
#ifdef SENSOR_ADC
  if (settings.supply_counts == 0) notice_post(NOTICE_SUPPLY_UNSET, 0, SUPPLY_UNSET_PERCENT);
#endif
  sensor_init();
  clock_start();
  set_sleep_mode(SLEEP_MODE_IDLE);
  wdt_enable(WDTO_1S);
  sei();

  for (;;) {
    const struct block *block;
    wdt_reset();
    supply_poll();
    settings_poll();
    hello_due |= uart_hello_asked() | command_poll();
    notice_poll();
    if (hello_due && clock_us() - hello_us >= HELLO_REST_US) {
      hello_due = 0;
      hello_us = clock_us();
      hello_send(range);
    }
    block = ring_oldest();
    if (block == 0) {
      sleep_mode(); /* the next tick is never far */
      continue;
    }
    if (block->range != range) {
      range = block->range;
      hello_send(range);
    }
    line_block(block);
    hello_due |= command_watch(block);
    ring_release();
  }
}
