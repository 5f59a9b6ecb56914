/* The logger's clock: timer 1 paces the samples, and its ticks are the time that lines carry. */
#ifndef CLOCK_H
#define CLOCK_H

#include <stdint.h>

void clock_start(void);
/* Microseconds since start, wraps after 71.6 minutes. */
uint32_t clock_us(void);
/* For the interrupts that follow a tick: the time of that tick. */
uint32_t clock_tick_us(void);

#endif
