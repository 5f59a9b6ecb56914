/*
 * What a builder may change: the sensors' own numbers and the limits that follow from them.
 * Every one that depends on the fitted parts can also be set over the line afterwards and is
 * kept in EEPROM ("sensor", "fine", "divider", "zero", "serial": ../line-protocol.md), so the
 * committed images suit any shunt, Hall sensor or clamp without a compiler.
 */
#ifndef CONFIG_H
#define CONFIG_H

#define FIRMWARE_VERSION "1.0.0"
#define DEFAULT_SERIAL "unset"

/* Supply and ADC reference of the board. The Hall sensor is ratiometric to the same 5 V. */
#define ADC_REFERENCE_V 5.0f
#define ADC_STEPS 1024.0f /* 10 bit: one count is reference / 1024 (ATmega328P datasheet, ADC result) */

/* Volts at the divider's top for one volt at the ADC: 100 kohm over 15 kohm, 38 V full scale. */
#define DEFAULT_DIVIDER ((100.0f + 15.0f) / 15.0f)

#ifdef SENSOR_ADC
#define LOGGER_NAME "reference logger, ADC"
#define RANGES 1
#define DEFAULT_SENSOR_MV_PER_A 66.0f /* 30 A Hall part; 100 for the 20 A part, 185 for the 5 A part */
#define DEFAULT_FINE_MV_PER_A 66.0f   /* one range only: not used */
#define NOMINAL_ZERO 512.0f           /* half the supply, 0 A */
/* A Hall output is linear to about 0.3 V from either rail: 62 counts. Beyond that it is clipped. */
#define CLIP_LOW 62
#define CLIP_HIGH 962
/* Nothing but the 100 kohm pull-down on the pin: no sensor drives its output below 50 mV. */
#define LOST_BELOW 10
/* A zero is refused beyond 5 % of full scale, or when readings differ by more than 8 counts. */
#define ZERO_LIMIT 51.0f
#define ZERO_SPREAD 8
#else
#define LOGGER_NAME "reference logger, monitor"
#define RANGES 2
#define DEFAULT_SENSOR_MV_PER_A 2.0f /* coarse shunt, milliohm */
#define DEFAULT_FINE_MV_PER_A 100.0f /* fine shunt, milliohm: only where a second monitor answers */
#define NOMINAL_ZERO 0.0f
#define MONITOR_SHUNT_MV 0.0025f /* monitor chip's shunt step 2.5 uV (TI SBOS547, register table) */
#define MONITOR_BUS_V 0.00125f   /* and its bus step 1.25 mV */
#define COARSE_ADDRESS 0x40      /* both address pins to ground */
#define FINE_ADDRESS 0x41        /* A0 to supply */
/* Offset of the chip is 4 counts (10 uV) at most; noise at the shortest conversions about 10 counts. */
#define ZERO_LIMIT 40.0f
#define ZERO_SPREAD 80
/* Fine to coarse at once above 90 % of the fine full scale. Coarse to fine after 2 s below half of
   what the fine shunt can show. Between the two lies the hysteresis. */
#define FINE_LEAVE_COUNTS 29491
#define FINE_ENTER_FRACTION 0.5f
#define FINE_ENTER_MS 2000
#endif

#define DEBOUNCE_MS 20
/* Supply this far below what it was at start: sensors and reference are no longer to be trusted. */
#define SUPPLY_LOW_PERCENT 8
#define SUPPLY_OK_PERCENT 5

#endif
