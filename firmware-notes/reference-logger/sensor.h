/*
 * What a sensor variant provides: sensor_adc.c reads a Hall sensor or clamp on the ADC,
 * sensor_monitor.c a shunt/bus monitor over I2C. One of the two is linked.
 */
#ifndef SENSOR_H
#define SENSOR_H

#include <stdint.h>

void sensor_init(void);
/* From the timer interrupt, once a period: begins a sample; a later interrupt pushes it to the ring. */
void sensor_tick(void);

/* Amperes a count in a range, from the builder's setting; volts a count. */
float sensor_current_scale(uint8_t range);
/* Where no current reads until a zero is taken, and how many counts a step of the converter is. */
int16_t sensor_nominal_zero(void);
uint8_t sensor_steps(void);
float sensor_voltage_scale(void);
/* Counts between which the range's current can be read. */
int16_t sensor_lowest(void);
int16_t sensor_highest(void);
int16_t sensor_voltage_highest(void);

#endif
