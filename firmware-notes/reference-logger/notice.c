#include "notice.h"

#include <avr/pgmspace.h>
#include <util/atomic.h>

#include "line.h"

#define QUEUE 8

struct notice {
  uint8_t code;
  uint16_t number;
  uint32_t t_us;
};

static struct notice queue[QUEUE];
static uint8_t head, tail;
static uint16_t dropped;
static uint32_t dropped_us;

void notice_post(uint8_t code, uint32_t t_us, uint16_t number) {
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    uint8_t next = (uint8_t)(head + 1) % QUEUE;
    if (next == tail) {
      if (dropped++ == 0) dropped_us = t_us;
    } else {
      queue[head] = (struct notice){code, number, t_us};
      head = next;
    }
  }
}

/* Code, comma, text; a % in the text is where the number goes. */
static const char TEXTS[][60] PROGMEM = {
    [NOTICE_START] = "start,reset cause %",
    [NOTICE_BROWNOUT] = "brownout,restarted: supply fell too low",
    [NOTICE_WATCHDOG] = "watchdog,restarted: program stood still",
    [NOTICE_OVERRUN] = "overrun,% samples lost: line too slow",
    [NOTICE_NOTICES_LOST] = "overrun,% notices lost",
    [NOTICE_RANGE] = "range,current beyond the range",
    [NOTICE_SENSOR_LOST] = "sensor-lost,no sensor at input %",
    [NOTICE_SENSOR_BACK] = "sensor-back,sensor at input %",
    [NOTICE_SUPPLY_LOW] = "supply-low,5 V is % percent low",
    [NOTICE_SUPPLY_DEAD] = "supply-low,5 V is % percent low: no samples",
    [NOTICE_SUPPLY_HIGH] = "supply-high,5 V is % percent high",
    [NOTICE_SUPPLY_OK] = "supply-ok,5 V within % percent again",
    [NOTICE_SUPPLY_UNSET] = "supply-unset,5 V not calibrated: volts up to % percent off",
    [NOTICE_MARK] = "mark,button %",
    [NOTICE_SETTINGS_DAMAGED] = "settings,stored settings damaged: defaults",
};

static void send(const struct notice *notice) {
  line_notice_begin(notice->t_us);
  const char *text = TEXTS[notice->code];
  for (char c; (c = (char)pgm_read_byte(text)) != 0; text++) {
    if (c == '%') line_unsigned(notice->number);
    else line_put(c);
  }
  line_end();
}

void notice_poll(void) {
  struct notice oldest = {NOTICE_NOTICES_LOST, 0, 0};
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    if (head != tail) {
      oldest = queue[tail];
      tail = (uint8_t)(tail + 1) % QUEUE;
    } else {
      oldest.number = dropped;
      oldest.t_us = dropped_us;
      dropped = 0;
    }
  }
  if (oldest.code != NOTICE_NOTICES_LOST || oldest.number != 0) send(&oldest);
}
