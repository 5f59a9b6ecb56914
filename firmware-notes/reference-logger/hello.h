/* The hello line: who this is, and how its counts become amperes and volts. */
#ifndef HELLO_H
#define HELLO_H

#include <stdint.h>

void hello_send(uint8_t range);

#endif
