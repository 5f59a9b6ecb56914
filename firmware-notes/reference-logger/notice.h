/* Things worth telling, queued from interrupts and from the main loop, sent by the main loop. */
#ifndef NOTICE_H
#define NOTICE_H

#include <stdint.h>

enum notice_code {
  NOTICE_START,
  NOTICE_BROWNOUT,
  NOTICE_WATCHDOG,
  NOTICE_OVERRUN,
  NOTICE_NOTICES_LOST,
  NOTICE_RANGE,
  NOTICE_SENSOR_LOST,
  NOTICE_SENSOR_BACK,
  NOTICE_SUPPLY_LOW,
  NOTICE_SUPPLY_DEAD,
  NOTICE_SUPPLY_HIGH,
  NOTICE_SUPPLY_OK,
  NOTICE_SUPPLY_UNSET,
  NOTICE_MARK,
  NOTICE_SETTINGS_DAMAGED,
};

/* Safe anywhere. What the number means depends on the code. When the queue is full the notice is
   dropped, and the drop itself is reported. */
void notice_post(uint8_t code, uint32_t t_us, uint16_t number);
/* Main loop: sends the oldest as a line, if there is one. */
void notice_poll(void);

#endif
