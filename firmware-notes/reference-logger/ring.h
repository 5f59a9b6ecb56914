/*
 * Samples on their way from the interrupts to the line, kept as whole blocks.
 * A block holds consecutive samples of one range. A hole in time, a change of range or a full
 * block begins the next one, so the time of every sample is its block's time plus whole periods.
 */
#ifndef RING_H
#define RING_H

#include <stdint.h>

#define CHANNELS 2
#define BLOCK_SAMPLES 30 /* 120 bytes: base64 without padding */
#define BLOCKS 8         /* 60 ms at 4000 S/s */

struct block {
  uint32_t t_us; /* logger's clock at the first sample */
  uint8_t samples;
  uint8_t range;
  int16_t counts[BLOCK_SAMPLES * CHANNELS];
};

/* From interrupts only. A sample that finds no room is counted and reported, never overwritten. */
void ring_push(uint32_t t_us, uint8_t range, int16_t current, int16_t voltage);
/* From interrupts only: sends what is there, because nothing follows for now. */
void ring_close(void);

/* From the main loop: the oldest finished block or 0; it stays until it is released. */
const struct block *ring_oldest(void);
void ring_release(void);

#endif
