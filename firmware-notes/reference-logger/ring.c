#include "ring.h"

#include "board.h"
#include "notice.h"

static struct block blocks[BLOCKS];
static volatile uint8_t head; /* being filled */
static volatile uint8_t tail; /* oldest unsent; equal to head when none is finished */
static uint32_t next_us;      /* when the next sample is due, if it follows on */
static uint16_t lost;
static uint32_t lost_since_us;

static uint8_t after(uint8_t index) { return (uint8_t)(index + 1) % BLOCKS; }

void ring_close(void) {
  if (blocks[head].samples != 0 && after(head) != tail) {
    head = after(head);
    blocks[head].samples = 0;
  }
}

void ring_push(uint32_t t_us, uint8_t range, int16_t current, int16_t voltage) {
  struct block *block = &blocks[head];
  if (block->samples != 0 &&
      (block->samples == BLOCK_SAMPLES || t_us != next_us || range != block->range)) {
    ring_close();
    block = &blocks[head];
    if (block->samples != 0) { /* no free block */
      if (lost == 0) lost_since_us = t_us;
      if (lost < UINT16_MAX) lost++;
      return;
    }
  }
  if (lost != 0) {
    notice_post(NOTICE_OVERRUN, lost_since_us, lost);
    lost = 0;
  }
  if (block->samples == 0) {
    block->t_us = t_us;
    block->range = range;
  }
  int16_t *counts = &block->counts[block->samples * CHANNELS];
  counts[0] = current;
  counts[1] = voltage;
  block->samples++;
  next_us = t_us + speed.period_us;
  if (block->samples == BLOCK_SAMPLES) ring_close();
}

const struct block *ring_oldest(void) { return tail == head ? 0 : &blocks[tail]; }

void ring_release(void) { tail = after(tail); }
