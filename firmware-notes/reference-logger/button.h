/* The mark button: bounces and short spikes make no mark, one press makes one. */
#ifndef BUTTON_H
#define BUTTON_H

/* From every tick. */
void button_tick(void);

#endif
