/*
 * Commands from the computer: "?" asks for the hello line and needs no line end; the others are
 * whole lines. What is not understood is ignored without a word, so noise on the line does nothing.
 */
#ifndef COMMAND_H
#define COMMAND_H

#include <stdint.h>

#include "ring.h"

/* Main loop: carries out a waiting command. Returns 1 when a fresh hello line is due. */
uint8_t command_poll(void);
/* Main loop: every block that is sent, for a zero that is being measured. Returns 1 when it has moved. */
uint8_t command_watch(const struct block *block);

#endif
